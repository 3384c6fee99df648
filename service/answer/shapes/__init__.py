"""The answer as it goes out, for the description of the interface and for the tests."""
