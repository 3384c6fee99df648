"""The server layer: connections with deadlines and caps, the processes that serve, and what their operator sees."""
