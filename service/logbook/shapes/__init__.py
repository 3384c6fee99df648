"""What goes into the log book and comes out of it."""
