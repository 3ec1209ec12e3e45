"""A page: views of the drawing and layers of the page's own, in metres from the paper's lower left corner."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from geometry.drawing.primitives import (
    CHARACTER_WIDTH,
    Drawing,
    Layer,
    LineStyle,
    Primitive,
    Text,
    drawing_bounds,
)

INK, PALE = (0, 0, 0), (90, 90, 90)

PRINT_NOTE = "Print at 100 % (“actual size”), never “fit to page”. Both bars must measure 100 mm."


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Layers of the drawing on a page: scaled, then shifted (m), and shown between two corners (m)."""

    layers: tuple[Layer, ...]
    scale: float
    shift: complex
    low: complex
    high: complex


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page: its name, views of the drawing, and layers drawn over them."""

    name: str
    views: tuple[View, ...]
    layers: tuple[Layer, ...]


def marks(primitives: Sequence[Primitive]) -> Layer:
    """Black lines and text."""
    return Layer(
        name="PAGE_MARKS",
        description="marks and text of the page",
        color=INK,
        line=LineStyle.SOLID,
        width=0.18e-3,
        primitives=tuple(primitives),
    )


def dashed(primitives: Sequence[Primitive]) -> Layer:
    """Thin grey lines where sheets are cut and joined."""
    return Layer(
        name="PAGE_CUTS",
        description="where the sheets are cut and joined",
        color=PALE,
        line=LineStyle.DASHED,
        width=0.13e-3,
        primitives=tuple(primitives),
    )


def printable(text: str) -> str:
    """One line, without characters that cannot be drawn."""
    return "".join(letter for letter in " ".join(text.split()) if letter.isprintable())


def trimmed(text: str, height: float, width: float) -> str:
    """A text that surely fits a width (m) with capitals of that height (m), cut short with an ellipsis."""
    maximum = max(int(width / (CHARACTER_WIDTH * height)), 2)
    return text if len(text) <= maximum else text[: maximum - 1].rstrip() + "…"


def text_boxes(layers: Sequence[Layer]) -> list[tuple[complex, complex]]:
    """Lower left and upper right corner of every text, estimated, m."""
    return [
        drawing_bounds(Drawing(title="", layers=(replace(layer, primitives=(text,)),)))
        for layer in layers
        for text in layer.primitives
        if isinstance(text, Text)
    ]
