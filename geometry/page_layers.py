"""Layers of a page's own marks and text, and text that keeps within a width."""

from __future__ import annotations

from collections.abc import Sequence

from geometry.primitives import CHARACTER_WIDTH, Layer, LineStyle, Primitive

INK, PALE = (0, 0, 0), (90, 90, 90)


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


def trimmed(text: str, height: float, width: float) -> str:
    """A text that surely fits a width (m) with capitals of that height (m), cut short with an ellipsis."""
    most = max(int(width / (CHARACTER_WIDTH * height)), 2)
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"
