"""What the work costs: capacity, ownership, repair, operating."""
