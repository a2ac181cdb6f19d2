"""Balewright: plan -> records -> findings -> cause -> work, for round baler-wrappers."""

__version__ = "0.1.0"
