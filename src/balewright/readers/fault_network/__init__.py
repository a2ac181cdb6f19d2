"""Fault networks from TOML files, and the one that comes with the program."""

from balewright.readers.fault_network.reading import read_network, shipped_network

__all__ = ["read_network", "shipped_network"]
