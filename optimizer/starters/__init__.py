"""Starters: what each kind of file may hold, and an example of each to begin with.

The page opens with the same examples.
"""

__all__: list[str] = []

__all__ = ["file_kinds", "starter"]
