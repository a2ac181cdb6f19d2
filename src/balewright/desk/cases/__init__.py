"""Cases: a machine's trouble from the call to the proof that it is cured."""
