"""Mixes: what a recipe is worth, and which amounts of what is on hand make a good one."""
