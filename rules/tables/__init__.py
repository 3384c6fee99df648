"""What is known beside the rules: materials, limits, published ranges, words and sentences."""
