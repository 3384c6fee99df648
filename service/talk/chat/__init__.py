"""Plain words about a heap, read by a small grammar into a status, and answered in plain words."""
