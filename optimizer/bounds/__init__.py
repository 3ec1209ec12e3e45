"""Bounds: what no winding of any shape could exceed."""

__all__: list[str] = []

__all__ = ["any_winding", "proof"]
