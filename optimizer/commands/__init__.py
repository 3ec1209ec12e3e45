"""Commands: one file each; it parses, makes one call and prints.

Heavy libraries are imported by the call alone.
"""

__all__ = ["polepitch"]
