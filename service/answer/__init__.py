"""The answer's parts, each made from what was found, in the reader's units."""
