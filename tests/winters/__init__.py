"""Whole winters lived by the advice and by habits, on three truths that share no equation set."""
