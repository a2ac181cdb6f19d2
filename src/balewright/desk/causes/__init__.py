"""What is behind a machine's trouble: what is known, how likely each cause is, what to do next."""
