"""Machine profiles: every key, its form, its checks, reading."""
