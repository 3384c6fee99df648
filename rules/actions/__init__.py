"""Every move the advice can make: its cost, its gain, its words and its materials."""
