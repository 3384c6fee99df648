"""What an answer would be worth: how it would change what is done first, and the heat lost by acting without it."""
