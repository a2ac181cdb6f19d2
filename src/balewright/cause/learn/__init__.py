"""What closed cases teach: rates and links moved by what was proved, shown before it counts."""
