"""The build sheet of a planned heap: what to bring, how to lay it, a drawing to scale, what to look at and mind."""
