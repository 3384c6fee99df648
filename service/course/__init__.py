"""How a heap goes on from here: its members run ahead under this or another draw."""
