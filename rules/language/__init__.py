"""What rules are written in: conditions, facts, findings, sources and the words of growers."""
