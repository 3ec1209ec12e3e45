"""Closed outlines of lines and arcs moved sideways, exact: outer corners rounded, inner ones cut short.

What is cut is moved by half the width of the cut, so that parts come out at their size. Arcs stay arcs.
"""

from __future__ import annotations

import cmath
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import isfinite, pi

import numpy as np
from numpy.typing import NDArray

from geometry.curves.curve import Arc, Curve, Line, Stretch, polyline
from geometry.drawing.primitives import (
    SHORTEST,
    Circle,
    Drawing,
    Layer,
    Path,
    Primitive,
    Text,
    arc_numbers,
    enclosed_area,
    point,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Joint:
    """Where one moved stretch ends, what fills the gap to the next, and where that one starts."""

    end: complex
    filling: Curve
    start: complex


class TooFar(ValueError):  # noqa: N818  the words of the message say it better
    """The outline, or a stretch of it, would vanish."""


def offset_outline(shape: Path | Circle, distance: float) -> Path | Circle:
    """A closed outline grown by `distance` (m; below zero it shrinks). TooFar when a stretch would vanish.

    Exact while no two stretches that are not neighbours meet.
    """
    if isinstance(shape, Circle):
        if shape.radius + distance <= SHORTEST:
            raise TooFar
        return Circle(shape.center, shape.radius + distance)
    aside = distance if enclosed_area(shape.curve) > 0 else -distance  # to the right of the way along
    sides = [_shifted(stretch, aside) for stretch in shape.curve]
    corners = [point(stretch.at(1)) for stretch in shape.curve]
    joints = [
        _joint(side, following, corner, aside)
        for side, following, corner in zip(sides, sides[1:] + sides[:1], corners, strict=True)
    ]
    moved: list[Stretch] = []
    for side, before, after in zip(sides, joints[-1:] + joints[:-1], joints, strict=True):
        moved.append(_between(side, before.start, after.end))
        moved.extend(after.filling)
    return Path(tuple(moved), closed=True)


def surrounds(shape: Path | Circle, place: complex) -> bool:
    """Whether a point (m) that is not on the outline lies within it."""
    if isinstance(shape, Circle):
        return abs(place - shape.center) < shape.radius
    arms = _points(shape.curve) - place
    return abs(float(np.sum(np.angle(np.roll(arms, -1) / arms)))) > pi


def _points(curve: Curve) -> NDArray[np.complex128]:
    return polyline(curve, step=1.0, sagitta=1e-6)


def _shifted(stretch: Stretch, aside: float) -> Stretch:
    """Moved to the right of its way by `aside`, m."""
    if isinstance(stretch, Line):
        along = point(stretch.tangent(0.5))
        shift = -1j * aside * along / abs(along)
        return Line(point(stretch.start) + shift, point(stretch.end) + shift)
    center, radius, start, sweep = arc_numbers(stretch)
    wider = radius + (aside if sweep > 0 else -aside)
    if wider <= SHORTEST:
        raise TooFar
    return Arc(center, wider, start, sweep)


def _joint(first: Stretch, second: Stretch, corner: complex, aside: float) -> _Joint:
    end, start = point(first.at(1)), point(second.at(0))
    if abs(end - start) < SHORTEST:
        return _Joint(end, (), end)
    turn = (point(first.tangent(1)).conjugate() * point(second.tangent(0))).imag
    if turn * aside > 0:  # the moved stretches leave a gap
        sweep = cmath.phase((start - corner) / (end - corner))
        return _Joint(end, (Arc(corner, abs(aside), cmath.phase(end - corner), sweep),), start)
    meetings = _meetings(first, second)
    if not meetings:
        raise TooFar
    meeting = min(meetings, key=lambda z: abs(z - corner))
    return _Joint(meeting, (), meeting)


def _between(stretch: Stretch, start: complex, end: complex) -> Stretch:
    """The stretch, cut short or drawn out to new ends that lie on its line or circle."""
    if isinstance(stretch, Line):
        if ((end - start) * point(stretch.tangent(0.5)).conjugate()).real <= 0:
            raise TooFar
        return Line(start, end)
    center, radius, begins, sweep = arc_numbers(stretch)
    later = cmath.phase((start - center) / (point(stretch.at(0)) - center))
    longer = cmath.phase((end - center) / (point(stretch.at(1)) - center))
    left = sweep - later + longer
    if left * sweep <= 0:
        raise TooFar
    return Arc(center, radius, begins + later, left)


def _meetings(first: Stretch, second: Stretch) -> list[complex]:
    """Where the whole lines and circles of two stretches meet."""
    if isinstance(first, Line) and isinstance(second, Line):
        return _lines_meet(first, second)
    if isinstance(first, Arc) and isinstance(second, Arc):
        return _circles_meet(*arc_numbers(first)[:2], *arc_numbers(second)[:2])
    line, arc = (first, second) if isinstance(first, Line) else (second, first)
    center, radius = arc_numbers(arc)[:2] if isinstance(arc, Arc) else (0j, 0.0)
    start, along = point(line.at(0)), point(line.tangent(0))
    foot = start + along * ((center - start) / along).real
    return _aside(foot, along / abs(along), radius**2 - abs(foot - center) ** 2)


def _lines_meet(first: Line, second: Line) -> list[complex]:
    start, along, across = point(first.start), point(first.tangent(0)), point(second.tangent(0))
    slope = (along.conjugate() * across).imag
    if abs(slope) < 1e-12 * abs(along) * abs(across):
        return []
    return [start + along * ((point(second.start) - start).conjugate() * across).imag / slope]


def _circles_meet(center: complex, radius: float, other: complex, its_radius: float) -> list[complex]:
    apart = abs(other - center)
    if apart < SHORTEST:
        return []
    toward = (other - center) / apart
    foot = (apart**2 + radius**2 - its_radius**2) / (2 * apart)
    return _aside(center + foot * toward, 1j * toward, radius**2 - foot**2)


def _aside(foot: complex, along: complex, squared: float) -> list[complex]:
    """Two points at the distance whose square is given, either way; none if that is below zero."""
    return [foot + sign * along * squared**0.5 for sign in (1, -1)] if squared >= 0 else []


WIDEST = 5e-3  # m
# layers of outlines that are cut, those of one part together: the pockets are holes in the carrier
PARTS = (("CARRIER_OUTLINE", "POCKETS_NORTH", "POCKETS_SOUTH"), ("FORMER",), ("PLATE_OUTLINE",))
NOTE = "Rim, bore, pockets and former are moved for a kerf of {:.6g} mm"
PLATE_NOTE = "Rim and bore are moved for a kerf of {:.6g} mm"


def with_kerf(drawing: Drawing, kerf: float) -> Drawing:
    """The drawing with outer edges grown and holes shrunk by half the kerf, and a note that says so.

    Only the outlines of carrier, pockets, former and plates are cut; all else, the coils too, is drawn and stays.
    kerf: width of the cut, m, from 0 (nothing changes) to 5 mm. ValueError when it is not, or when an outline
    would vanish.
    """
    if not (isfinite(kerf) and 0 <= kerf <= WIDEST):
        raise ValueError(f"kerf must be from 0 to {WIDEST * 1e3:g} mm, was {kerf * 1e3:g} mm")
    if kerf == 0:
        return drawing
    moved = {layer.name: layer for names in PARTS for layer in _moved(drawing, names, kerf)}
    layers = (moved.get(layer.name, layer) for layer in drawing.layers)
    note = PLATE_NOTE if "PLATE_OUTLINE" in moved else NOTE
    return replace(drawing, layers=tuple(_noted(layer, note.format(kerf * 1e3)) for layer in layers))


def _moved(drawing: Drawing, names: Sequence[str], kerf: float) -> Iterator[Layer]:
    """The layers of one part, each outline moved by how many others are around it: odd for holes."""
    layers = [layer for layer in drawing.layers if layer.name in names]
    closed = [shape for layer in layers for shape in layer.primitives if _is_outline(shape)]
    for layer in layers:
        shapes = tuple(_offset(shape, closed, kerf, layer.name) for shape in layer.primitives)
        yield replace(layer, primitives=shapes)


def _offset(shape: Primitive, closed: Sequence[Primitive], kerf: float, name: str) -> Primitive:
    if isinstance(shape, Text) or not _is_outline(shape):
        return shape
    place = shape.center + shape.radius if isinstance(shape, Circle) else point(shape.curve[0].at(0.5))
    around = sum(
        surrounds(other, place) for other in closed if other is not shape and not isinstance(other, Text)
    )
    try:
        return offset_outline(shape, kerf / 2 if around % 2 == 0 else -kerf / 2)
    except TooFar:
        problem = f"kerf must leave something of each outline in {name}, was {kerf * 1e3:g} mm"
        raise ValueError(problem) from None


def _is_outline(shape: Primitive) -> bool:
    return isinstance(shape, Circle) or (isinstance(shape, Path) and shape.closed)


def _noted(layer: Layer, words: str) -> Layer:
    """The captions with one more line."""
    texts = [text for text in layer.primitives if isinstance(text, Text)]
    if layer.name != "CAPTION" or not texts:
        return layer
    last = texts[-1]
    note = replace(last, text=words, position=last.position - 1.8j * last.height)
    return replace(layer, primitives=(*layer.primitives, note))
