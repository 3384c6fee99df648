"""The log book: what was read and done at a pile, kept, and the status it adds up to."""
