"""Traces of a machine's bus."""
