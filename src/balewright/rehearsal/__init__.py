"""Invented seasons with a known truth, against which findings are tried.

Nothing here shares a formula with `findings` or with the film geometry of `plan`.
"""
