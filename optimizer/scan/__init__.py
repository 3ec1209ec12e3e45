"""Scan: the search space and its exhaustive scan."""

__all__ = ["choices", "field_tables", "kernel", "scan", "wiring"]
