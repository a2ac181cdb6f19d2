"""What to do next so that the machine bales well again at the least expected cost."""
