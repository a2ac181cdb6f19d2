"""The register's shelves, one a subject. They need Django to be set up: see `store.register`."""
