"""The HTTP routes, one module per subject."""
