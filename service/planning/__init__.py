"""Planning ahead: what a house needs, how big a heap that takes, and a winter laid out by months."""
