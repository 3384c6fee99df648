"""Weeks ahead: where the core goes, what can be drawn, and when to begin the next heap."""
