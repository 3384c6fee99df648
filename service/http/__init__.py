"""What every route shares: bodies, media types, access, and careful looks at callers."""
