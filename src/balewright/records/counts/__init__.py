"""Accounts of a machine's bale numbers: nothing falls away, and every sum can be done again."""
