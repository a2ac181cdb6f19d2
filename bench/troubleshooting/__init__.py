"""How far the choice of the next check is from the best of all policies."""
