"""The settings that cost least for the keeping and the chance that are wanted."""
