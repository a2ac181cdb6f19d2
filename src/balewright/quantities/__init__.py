"""Errors, checks, units, intervals, reasons and sources: what every room may use."""
