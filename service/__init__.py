"""The service around the rules: reads a pile's status, counts its heat, ranks what to do."""
