"""How far places are from the lines of a drawing: exact distances to lines and arcs, many at once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import pi
from typing import Self

import numpy as np

from geometry.curves.curve import Arc, Complex, Line, Real, Stretch, circle
from geometry.drawing.primitives import Circle, Path, Primitive, arc_numbers, point, polygon, text_box


@dataclass(frozen=True, slots=True)
class Lines:
    """Straight lines and arcs as arrays, m and rad: starts and ends; centres, radii, middle angles and half sweeps."""

    starts: Complex
    ends: Complex
    centers: Complex
    radii: Real
    middles: Real
    halves: Real

    @classmethod
    def of(cls, primitives: Iterable[Primitive]) -> Self:
        """Every line that is drawn; a text counts as the edge of the box around it."""
        stretches = [stretch for primitive in primitives for stretch in _stretches(primitive)]
        straight = [line for line in stretches if isinstance(line, Line)]
        arcs = [arc_numbers(arc) for arc in stretches if isinstance(arc, Arc)]
        return cls(
            np.array([point(line.start) for line in straight], complex),
            np.array([point(line.end) for line in straight], complex),
            np.array([center for center, _, _, _ in arcs], complex),
            np.array([radius for _, radius, _, _ in arcs], float),
            np.array([start + sweep / 2 for _, _, start, sweep in arcs], float),
            np.array([abs(sweep) / 2 for _, _, _, sweep in arcs], float),
        )

    def turned(self, turn: complex) -> Lines:
        """Turned about the shaft, `turn` being of length 1."""
        angle = float(np.angle(turn))
        return Lines(
            self.starts * turn,
            self.ends * turn,
            self.centers * turn,
            self.radii,
            self.middles + angle,
            self.halves,
        )

    def near(self, place: complex, reach: float) -> Lines:
        """Those that come nearer to a place than `reach`, m."""
        line, arc = (near[0] < reach for near in self._distances(np.array([place])))
        return Lines(
            self.starts[line],
            self.ends[line],
            self.centers[arc],
            self.radii[arc],
            self.middles[arc],
            self.halves[arc],
        )

    def clearance(self, places: Complex) -> Real:
        """Distance of each place to the nearest line, m, (P,); infinite when there is none."""
        return np.min(np.hstack(self._distances(places)), axis=1, initial=np.inf)

    def _distances(self, places: Complex) -> tuple[Real, Real]:
        """From each place (rows) to each line and to each arc (columns), m."""
        at = np.asarray(places, complex)[:, None]
        along = self.ends - self.starts
        share = ((at - self.starts) * along.conj()).real / np.maximum(np.abs(along) ** 2, 1e-30)
        straight = np.abs(at - self.starts - along * np.clip(share, 0, 1))
        off = at - self.centers
        aside = np.abs((np.angle(off) - self.middles + pi) % (2 * pi) - pi)
        tips = [np.abs(off - self.radii * np.exp(1j * (self.middles + s * self.halves))) for s in (1, -1)]
        round_ = np.where(aside <= self.halves, np.abs(np.abs(off) - self.radii), np.minimum(*tips))
        return straight, round_


def _stretches(primitive: Primitive) -> Iterator[Stretch]:
    if isinstance(primitive, Path):
        yield from primitive.curve
    elif isinstance(primitive, Circle):
        yield from circle(primitive.center, primitive.radius)
    else:
        low, high = text_box(primitive)
        corners = [low, complex(high.real, low.imag), high, complex(low.real, high.imag)]
        yield from polygon(corners).curve
