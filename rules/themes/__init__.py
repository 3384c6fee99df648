"""One module per theme; each lists its rules in `RULES`. A new module here is found by itself."""
