"""Drawn fields: the list, adding GeoJSON, taking one away."""
