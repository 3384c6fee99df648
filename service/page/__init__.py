"""The phone form: what it asks, how typed values become a status, and how an answer is shown."""
