"""Circuit: what rectifiers and loads make of a winding, in the steady state."""

__all__ = ["diodes", "load_point", "loads", "steady", "steady_three", "thevenin"]
