"""What machines are told: a hub that polls or listens, and addresses that are called."""
