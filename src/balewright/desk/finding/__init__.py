"""A finding opened: what it rests on, and setting it aside."""
