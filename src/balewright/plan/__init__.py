"""What a machine should do: profile, crop, film on a bale, pace, setup sheet."""
