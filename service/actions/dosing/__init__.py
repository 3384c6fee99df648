"""How much of what: the amounts behind each action, worked out from the heap as it is believed to be."""
