"""What is kept: the register (relational, small) and the journal (column files, large)."""
