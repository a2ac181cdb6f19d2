"""A machine's bales, and one of them with where its values come from."""
