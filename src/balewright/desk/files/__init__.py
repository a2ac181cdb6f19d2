"""A kept sheet in every form it can be taken away in."""
