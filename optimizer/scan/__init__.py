"""Scan: the search space and its exhaustive scan."""
