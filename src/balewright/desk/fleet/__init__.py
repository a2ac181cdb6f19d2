"""Machines, rolls and, where a manager said for what, people side by side."""
