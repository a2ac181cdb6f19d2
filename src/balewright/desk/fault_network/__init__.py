"""The fault network to browse: causes by system, their numbers, links, reasons and sources."""
