"""The answer as it goes out: what it is built as, and what the interface is described by."""
