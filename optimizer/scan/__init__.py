"""Scan: the search space and its exhaustive scan."""

__all__ = ["choices", "chunked_scan", "field_tables", "kernel", "plate_shares", "scan", "wiring"]
