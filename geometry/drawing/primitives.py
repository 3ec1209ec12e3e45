"""What a drawing is made of: layers of paths (lines and exact arcs), circles and texts, in metres; its small signs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum
from math import cos, pi, sin
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Arc, Curve, Line, Stretch

SHORTEST = 1e-9  # m; shorter stretches are rounding and are dropped
SAME = 1e-9  # m and rad; nearer centres, radii and angles are equal
CHARACTER_WIDTH = 0.85  # of a text's height: a generous mean over sans-serif letters


class LineStyle(Enum):
    """Line style by dash and gap lengths in metres; tells layers apart in black and white."""

    SOLID = ()
    DASHED = (3e-3, 1.5e-3)
    DOTTED = (0.7e-3, 0.9e-3)
    CHAIN = (5e-3, 1.2e-3, 0.8e-3, 1.2e-3)


class Anchor(Enum):
    """Which end of a text's baseline lies at its position."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Path:
    """Joined stretches of scalar values; a closed path ends where it begins."""

    curve: Curve
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Circle:
    """A full circle: centre (complex, m) and radius (m)."""

    center: complex
    radius: float


@dataclass(frozen=True, slots=True)
class Text:
    """One upright line of text: position of its baseline (complex, m) and height of its capitals (m)."""

    text: str
    position: complex
    height: float
    anchor: Anchor = Anchor.MIDDLE


Primitive: TypeAlias = Path | Circle | Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """Primitives that belong together, drawn alike.

    name: stable, capitals and underscores. description: one line for people.
    color: red, green and blue, 0 to 255. line, width (m): how its lines are drawn.
    """

    name: str
    description: str
    color: tuple[int, int, int]
    line: LineStyle
    width: float
    primitives: tuple[Primitive, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A drawing at full size, the lowest layer first."""

    title: str
    layers: tuple[Layer, ...]

    def layer(self, name: str) -> Layer:
        """The layer of that name; KeyError when there is none."""
        found = {layer.name: layer for layer in self.layers}
        return found[name]


def segment(start: complex, end: complex) -> Path:
    """One straight line."""
    return Path((Line(start, end),))


def polygon(points: Iterable[complex], *, closed: bool = True) -> Path:
    """Straight lines from point to point, and back to the first when `closed`."""
    corners = list(points)
    ends = corners[1:] + corners[:1] if closed else corners[1:]
    return Path(tuple(Line(a, b) for a, b in zip(corners, ends, strict=closed)), closed)


def arrowed(turn: Curve) -> Curve:
    """The stretches of a turn that get an arrow in their middle: its straight legs, or all it has when it has none."""
    real = tuple(stretch for stretch in turn if float(stretch.length) > SHORTEST)
    return tuple(stretch for stretch in real if isinstance(stretch, Line)) or real


def outlines(curves: Iterable[Iterable[Stretch]]) -> list[Path | Circle]:
    """Every closed curve as one primitive; curves that have shrunk to a point are left out."""
    return [shape for curve in curves if (shape := outline(curve)) is not None]


def outline(curve: Iterable[Stretch]) -> Path | Circle | None:
    """A closed curve as one primitive, a circle if it is one, None if nothing of it is left.

    Stretches without length are dropped, and arcs that go on along the same circle are joined.
    """
    stretches: list[Stretch] = []
    for stretch in map(_plain, curve):
        if float(stretch.length) < SHORTEST:
            continue
        joined = _joined(stretches[-1], stretch) if stretches else None
        stretches[len(stretches) - (joined is not None) :] = [joined or stretch]
    around = _joined(stretches[-1], stretches[0]) if len(stretches) > 1 else None
    if around:
        stretches = [around, *stretches[1:-1]]
    if not stretches:
        return None
    first = stretches[0]
    if isinstance(first, Arc) and len(stretches) == 1:  # closed by one arc
        return Circle(*arc_numbers(first)[:2])
    return Path(tuple(stretches), closed=True)


def outline_area(shape: Path | Circle) -> float:
    """Area inside an outline, m²."""
    return pi * shape.radius**2 if isinstance(shape, Circle) else abs(enclosed_area(shape.curve))


def enclosed_area(curve: Curve) -> float:
    """Area inside a closed curve, m², exactly: half of ∮ Im(conj(z) dz); above zero when it runs counter-clockwise."""
    doubled = 0.0
    for stretch in curve:
        start, end = complex(stretch.at(0.0)), complex(stretch.at(1.0))
        if isinstance(stretch, Arc):
            radius, sweep = float(np.asarray(stretch.radius)), float(np.asarray(stretch.sweep))
            center = complex(np.asarray(stretch.center, complex))
            doubled += (center.conjugate() * (end - start)).imag + radius**2 * sweep
        else:
            doubled += (start.conjugate() * end).imag
    return doubled / 2


def point(value: ArrayLike) -> complex:
    """A scalar field of a curve as a plain complex number, m."""
    return complex(np.asarray(value))


def arc_numbers(arc: Arc) -> tuple[complex, float, float, float]:
    """Centre (m), radius (m, not negative), start angle and sweep (rad) of a scalar arc in plain numbers."""
    radius, start, sweep = (float(np.asarray(value)) for value in (arc.radius, arc.start, arc.sweep))
    return point(arc.center), abs(radius), start if radius >= 0 else start + pi, sweep


def _plain(stretch: Stretch) -> Stretch:
    if isinstance(stretch, Line):
        return Line(point(stretch.start), point(stretch.end))
    return Arc(*arc_numbers(stretch))


def _joined(first: Stretch, second: Stretch) -> Arc | None:
    """Both as one arc, when the second goes on along the first one's circle, else None."""
    if not (isinstance(first, Arc) and isinstance(second, Arc)):
        return None
    center, radius, start, sweep = arc_numbers(first)
    next_center, next_radius, next_start, next_sweep = arc_numbers(second)
    same_circle = abs(center - next_center) < SAME and abs(radius - next_radius) < SAME
    gap = (start + sweep - next_start + pi) % (2 * pi) - pi
    goes_on = same_circle and abs(gap) < SAME and sweep * next_sweep > 0
    return Arc(center, radius, start, sweep + next_sweep) if goes_on else None


Style: TypeAlias = tuple[str, tuple[int, int, int], LineStyle, float]
"""Of a layer: description, colour, line style, line width in m."""


def styled_layer(name: str, style: Style, primitives: Iterable[Primitive]) -> Layer:
    """A layer in its style."""
    text, color, line, width = style
    return Layer(name=name, description=text, color=color, line=line, width=width, primitives=tuple(primitives))


def printable(text: str) -> str:
    """One line, without characters that cannot be drawn."""
    return "".join(letter for letter in " ".join(text.split()) if letter.isprintable())


def drawing_bounds(drawing: Drawing) -> tuple[complex, complex]:
    """Lower left and upper right corner of everything drawn, m; the width of texts is estimated."""
    corners = [z for layer in drawing.layers for primitive in layer.primitives for z in _extremes(primitive)]
    xs, ys = [z.real for z in corners], [z.imag for z in corners]
    return complex(min(xs), min(ys)), complex(max(xs), max(ys))


def text_box(text: Text) -> tuple[complex, complex]:
    """Lower left and upper right corner of a text, m; its width is estimated."""
    width = CHARACTER_WIDTH * text.height * len(text.text)
    left = {Anchor.START: 0.0, Anchor.MIDDLE: -width / 2, Anchor.END: -width}[text.anchor]
    low = text.position + complex(left, -0.3 * text.height)
    return low, low + complex(width, 1.3 * text.height)


def _extremes(primitive: Primitive) -> Iterator[complex]:
    if isinstance(primitive, Circle):
        reach = primitive.radius * (1 + 1j)
        yield from (primitive.center - reach, primitive.center + reach)
    elif isinstance(primitive, Text):
        yield from text_box(primitive)
    else:
        for stretch in primitive.curve:
            yield from (point(stretch.at(0)), point(stretch.at(1)))
            if isinstance(stretch, Arc):
                yield from _quadrants(stretch)


def _quadrants(arc: Arc) -> Iterator[complex]:
    """The points of an arc that lie straight right, above, left or below its centre."""
    center, radius, start, sweep = arc_numbers(arc)
    for quarter in range(4):
        angle = quarter * pi / 2
        if (angle - min(start, start + sweep)) % (2 * pi) <= abs(sweep):
            yield center + radius * complex(cos(angle), sin(angle))


CHECK_LENGTH = 0.05  # m


def cross(center: complex, arm: float, direction: complex = 1.0) -> list[Path]:
    """Two lines of half length `arm` (m) that cross at `center`, one along `direction` (of length 1)."""
    return [segment(center - arm * along, center + arm * along) for along in (direction, 1j * direction)]


def arrowhead(middle: complex, direction: complex, size: float) -> Path:
    """An open chevron of length `size` (m), its point forward; `direction` has length 1."""
    tip, tail = middle + direction * size / 2, middle - direction * size / 2
    side = 1j * direction * 0.45 * size
    return polygon([tail + side, tip, tail - side], closed=False)


def north_mark(center: complex, size: float) -> list[Primitive]:
    """A plus in a square, `size` (m) across: the north face looks at the reader."""
    half = size / 2
    square = polygon([center + half * corner for corner in (1 + 1j, -1 + 1j, -1 - 1j, 1 - 1j)])
    return [square, *cross(center, 0.55 * half)]


def south_mark(center: complex, size: float) -> list[Primitive]:
    """A minus in a ring, `size` (m) across: the south face looks at the reader."""
    half = size / 2
    return [Circle(center, half), segment(center - 0.55 * half, center + 0.55 * half)]


def check_line(middle: complex, text_height: float) -> list[Primitive]:
    """A line of 50 mm with a tick at either end and its length above it."""
    left, right = middle - CHECK_LENGTH / 2, middle + CHECK_LENGTH / 2
    tick = 0.6j * text_height
    ticks = [segment(end - tick, end + tick) for end in (left, right)]
    return [segment(left, right), *ticks, Text("50 mm", middle + 0.5j * text_height, text_height)]
