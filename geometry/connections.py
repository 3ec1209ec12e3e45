"""The wires outside the bundles: from each coil's finish to the next coil's start.

Seen from the coil side. Coils are wound from their start inside the bundle to their finish outside it, just
before the start is reached again; a coil connected in reverse is wound the other way, so that its outgoing
wire has to cross its own start. That crossing is drawn as a bow.
"""

from __future__ import annotations

from cmath import rect
from collections.abc import Iterator
from dataclasses import dataclass
from math import asin, pi

from geometry.curve import Arc, Line, Stretch
from geometry.filaments import coil_senses
from geometry.layout import Layout
from geometry.primitives import Path

ASIDE = 3e-3  # m, most that a finish stands beside its start


@dataclass(frozen=True, slots=True, kw_only=True)
class Tracks:
    """Radii in m that connections run at: `crossing` for those that cross a start, `plain` beyond it."""

    crossing: float
    plain: float

    def lead_end(self, number: int) -> float:
        """Radius at which the start lead of coil `number` (from 1) meets the wire that comes in."""
        return self.crossing if number > 1 and number % 2 else self.plain


def connections(layout: Layout, tracks: Tracks) -> list[Path]:
    """One open path for each coil, from its finish to the end of the next coil's start lead.

    The last one leads to the angle `finish_angle`, and there out to the plain track.
    """
    return [Path(tuple(_connection(layout, tracks, index))) for index in range(layout.coils)]


def finish_angle(layout: Layout) -> float:
    """Polar angle at which the last finish is led out, between that coil and the first, rad."""
    half = layout.envelope.half_sector
    angle, _ = coil_senses(layout)[-1]
    return angle + half if layout.topology.per_sector else angle + half / 2


def _connection(layout: Layout, tracks: Tracks, index: int) -> Iterator[Stretch]:
    senses = coil_senses(layout)
    angle, sense = senses[index]
    last = index == len(senses) - 1
    end = finish_angle(layout) if last else angle + 2 * layout.envelope.half_sector
    radius = tracks.crossing if last or sense < 0 else tracks.plain
    inside = layout.winding.outer_radius - layout.winding.width / 2
    beside = min(ASIDE / inside, 0.2 * layout.envelope.half_sector)
    start = angle + sense * beside
    yield Line(rect(inside, start), rect(radius, start))
    if sense < 0:
        bow = min(0.5 * (tracks.plain - tracks.crossing), 0.4 * radius * beside)
        yield from _arc_with_bow(radius, start, end, angle, bow)
    else:
        yield Arc(0j, radius, start, end - start)
    if last:
        yield Line(rect(radius, end), rect(tracks.plain, end))


def _arc_with_bow(radius: float, start: float, end: float, crossing: float, bow: float) -> Iterator[Arc]:
    """About the shaft from `start` to `end` (rad), with a bow of radius `bow` (m) outwards at `crossing`."""
    half = 2 * asin(bow / (2 * radius))
    yield Arc(0j, radius, start, crossing - half - start)
    yield Arc(rect(radius, crossing), bow, crossing - pi / 2 - half / 2, pi + half)
    yield Arc(0j, radius, crossing + half, end - crossing - half)
