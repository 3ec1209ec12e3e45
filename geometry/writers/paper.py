"""Paper sizes, how a drawing at full size is shared out over sheets that overlap, and what a page is made of.

A sheet shows its window: what lies inside strips of fixed width at the paper's edges, which no printer has
to reach and which carry the sheet's own marks. Windows of neighbours overlap; the sheets are cut and joined
along the middle of the overlap. A page holds views of the drawing and layers of its own, in metres from the paper's
lower left corner.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

from geometry.drawing.primitives import (
    CHARACTER_WIDTH,
    Drawing,
    Layer,
    LineStyle,
    Primitive,
    Style,
    Text,
    drawing_bounds,
    styled_layer,
)

MARGIN = 8e-3  # m, border that printers leave blank
STRIP_LEFT, STRIP_RIGHT, STRIP_BOTTOM, STRIP_TOP = 18e-3, 16e-3, 18e-3, 24e-3  # m, margin included
OVERLAP = 10e-3  # m
SLACK = 1e-9  # m, rounding that does not call for one more sheet


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper size, upright: name, width and height (m)."""

    name: str
    width: float
    height: float

    @property
    def window(self) -> complex:
        """Width and height of what a sheet shows, m."""
        return complex(self.width - STRIP_LEFT - STRIP_RIGHT, self.height - STRIP_BOTTOM - STRIP_TOP)


PAPERS = {paper.name: paper for paper in (Paper("A4", 0.210, 0.297), Paper("Letter", 0.2159, 0.2794))}
WINDOW_CORNER = complex(STRIP_LEFT, STRIP_BOTTOM)  # lower left of the window on the paper, m


def paper_named(name: str) -> Paper:
    """The paper of that name, in any case of letters; ValueError with the known names for any other."""
    for paper in PAPERS.values():
        if paper.name.lower() == name.strip().lower():
            return paper
    raise ValueError(f"paper must be one of {', '.join(PAPERS)}, was {name!r}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet: its number, column and row (all from 1, read like a page) and its window's lower left, m."""

    number: int
    column: int
    row: int
    low: complex


@dataclass(frozen=True, slots=True, kw_only=True)
class Tiling:
    """Sheets of one paper that cover a drawing. low: lower left of all windows together, m."""

    paper: Paper
    columns: int
    rows: int
    low: complex

    @property
    def count(self) -> int:
        """Number of sheets."""
        return self.columns * self.rows

    @property
    def high(self) -> complex:
        """Upper right of all windows together, m."""
        window = self.paper.window
        return self.low + complex(_reach(self.columns, window.real), _reach(self.rows, window.imag))

    @property
    def cuts_x(self) -> list[float]:
        """x of the upright lines that the sheets are cut and joined along, m, ascending."""
        return _cuts(self.low.real, self.columns, self.paper.window.real)

    @property
    def cuts_y(self) -> list[float]:
        """y of the level lines that the sheets are cut and joined along, m, ascending."""
        return _cuts(self.low.imag, self.rows, self.paper.window.imag)

    def sheet(self, column: int, row: int) -> Sheet:
        """The sheet in that column, from the left, and row, from the top; both count from 1."""
        step = self.paper.window - OVERLAP * (1 + 1j)
        low = self.low + complex((column - 1) * step.real, (self.rows - row) * step.imag)
        return Sheet(number=(row - 1) * self.columns + column, column=column, row=row, low=low)

    def sheets(self) -> Iterator[Sheet]:
        """All sheets by number."""
        for row in range(1, self.rows + 1):
            for column in range(1, self.columns + 1):
                yield self.sheet(column, row)


def tiled(low: complex, high: complex, paper: Paper, lean: complex = 0.5 + 0.5j) -> Tiling:
    """The fewest sheets that show everything between the corners `low` and `high` (m).

    lean: how much of the room left over lies to the left of it, and below it; each from 0 to 1.
    """
    size, window = high - low, paper.window
    columns, rows = _sheets(size.real, window.real), _sheets(size.imag, window.imag)
    covered = complex(_reach(columns, window.real), _reach(rows, window.imag))
    left, below = lean.real * (covered - size).real, lean.imag * (covered - size).imag
    return Tiling(paper=paper, columns=columns, rows=rows, low=low - complex(left, below))


def _sheets(size: float, window: float) -> int:
    return max(ceil((size - OVERLAP - SLACK) / (window - OVERLAP)), 1)


def _reach(count: int, window: float) -> float:
    return count * (window - OVERLAP) + OVERLAP


def _cuts(low: float, count: int, window: float) -> list[float]:
    return [low + OVERLAP / 2 + index * (window - OVERLAP) for index in range(1, count)]


MARKS: Style = ("marks and text of the page", (0, 0, 0), LineStyle.SOLID, 0.18e-3)
CUTS: Style = ("where the sheets are cut and joined", (90, 90, 90), LineStyle.DASHED, 0.13e-3)

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
    return styled_layer("PAGE_MARKS", MARKS, primitives)


def dashed(primitives: Sequence[Primitive]) -> Layer:
    """Thin grey lines where sheets are cut and joined."""
    return styled_layer("PAGE_CUTS", CUTS, primitives)


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
