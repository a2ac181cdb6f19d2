"""Tables of other programs, read by a saved column map: guess it, confirm it, use it again."""
