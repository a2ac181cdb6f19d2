"""Charts: what tells a lasting change of a series from its scatter, and how often they err."""
