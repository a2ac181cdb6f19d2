"""Cases: what was reported, looked at, found, repaired and proved, as entries that only add up."""
