"""From signals to bales: a day's signals cut into cycles, each boundary with how sure it is."""
