"""Pages of one drum: its state, heavy lifts on it, everyday work, how the rope fills it."""
