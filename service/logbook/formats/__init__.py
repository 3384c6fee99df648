"""Forms in which readings come and whole piles go: tables and records of sensors."""
