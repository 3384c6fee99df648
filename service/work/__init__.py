"""Heavy work, done in processes of its own: so many places, a short queue, and a limit of time that ends it."""
