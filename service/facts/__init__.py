"""Status to facts: what was reported, what follows from it, and what had to be assumed."""
