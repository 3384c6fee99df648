"""What is learned from a heap's log."""
