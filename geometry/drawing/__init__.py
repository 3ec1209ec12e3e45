"""Drawing: one drawing of lines, arcs and words, for every writer."""

__all__ = [
    "coil_drawing",
    "connections",
    "former_outlines",
    "kerf",
    "layout_drawing",
    "offset",
    "plate",
    "primitives",
    "symbols",
]
