"""What is refused and how it is said (RFC 9457), and the warning of fire that goes with it."""
