"""What a file of a fault network must say: its keys, their forms, and the values made of them."""
