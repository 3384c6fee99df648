"""Units: quantities as people write them, to SI and back, and values with their ranges."""
