"""The bibliography, one module a topic."""
