"""Invented days of a machine as signals, with what truly happened beside them."""
