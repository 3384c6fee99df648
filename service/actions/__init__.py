"""What to do: the ranking of moves, their doses, and what each would gain."""
