"""Seasons made harder than the simulator makes them, defined before anything is tuned on them.

Nothing here knows what findings look for: stressors work on records alone.
"""
