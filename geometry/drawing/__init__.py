"""Drawing: one drawing of lines, arcs and words, for every writer."""

__all__ = ["coil_drawing", "connections", "layout_drawing", "offset", "primitives"]
