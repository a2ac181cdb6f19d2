"""What closed cases would move in the fault network, for review before it counts."""
