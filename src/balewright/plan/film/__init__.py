"""Film on a bale: strips, layers, turns, events, tolerance, rolls, stretch."""
