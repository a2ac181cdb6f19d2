"""Exact inference in a fault network: what is likely, how sure, and what each check would say."""
