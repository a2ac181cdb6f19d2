"""Steps that bring an older register to this version."""
