"""Input made to harm: growth of work, odd values, and many requests drawn from the interface itself."""
