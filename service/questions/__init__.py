"""The next best question, for statuses that may still be nearly empty."""
