"""A closed outline of lines and arcs moved sideways, exact: outer corners rounded, inner ones cut short."""

from __future__ import annotations

import cmath
from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from geometry.curves.curve import Arc, Curve, Line, Stretch, polyline
from geometry.drawing.primitives import SHORTEST, Circle, Path, arc_numbers, point


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


def enclosed_area(curve: Curve) -> float:
    """Area in m² within a closed curve, above zero when it runs counter-clockwise; chords for arcs."""
    points = _points(curve)
    return float(np.sum(np.conj(points) * np.roll(points, -1)).imag) / 2


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
