"""The wires outside the bundles: from each coil's finish to the start of the next one of its phase.

Seen from the coil side. Coils are wound from their start inside the bundle to their finish outside it, just
before the start is reached again; a coil connected in reverse is wound the other way, so that its outgoing
wire has to cross its own start. Each phase has two circles for its wires. A wire that crosses another does so in a bow.
"""

from __future__ import annotations

from cmath import rect
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import asin, ceil, pi

from geometry.coils.series_order import SeriesCoil
from geometry.curves.curve import Arc, Line, Stretch, mirrored_curve
from geometry.drawing.primitives import Path
from geometry.machine.layout import Layout

ASIDE = 3e-3  # m, most that a finish stands beside its start
TOUCH = 1e-6  # m and rad; leads that end on a wire do not cross it


@dataclass(frozen=True, slots=True, kw_only=True)
class Tracks:
    """Radii in m that the connections of the first phase run at; those of others lie beyond, equally far apart."""

    crossing: float
    plain: float

    @property
    def apart(self) -> float:
        """Distance from track to track, m."""
        return self.plain - self.crossing

    def radius(self, phase: int, *, plain: bool) -> float:
        """One of the two tracks of a phase, m."""
        return (self.plain if plain else self.crossing) + 2 * phase * self.apart

    def ends(self, phases: int) -> float:
        """Where starts and finishes of the phases are led out to, m."""
        return self.radius(phases - 1, plain=True)


@dataclass(frozen=True, slots=True)
class _Link:
    """From the finish of a coil at `start` (rad) along `radius` (m) to `end`; the last of a phase leads out there."""

    coil: SeriesCoil
    start: float
    end: float
    radius: float


def connections(layout: Layout, tracks: Tracks, side: int = 0) -> list[Path]:
    """One open path for each coil, from its finish to the end of the next coil's start lead.

    The last one of a phase leads to the angle `finish_angle`, and there out to the end of the tracks.
    """
    links = [link for members in layout.order.sides[0] for link in _links(layout, tracks, members)]
    leads = [*_leads(layout, tracks, links)]
    paths = [tuple(_stretches(layout, tracks, link, leads)) for link in links]
    return [Path(mirrored_curve(path) if side else path) for path in paths]


def lead_ends(layout: Layout, tracks: Tracks) -> list[float]:
    """Radius in m at which each coil's start lead meets the wire that comes in, phase by phase in series order."""
    ends: list[float] = []
    for members in layout.order.sides[0]:
        links = _links(layout, tracks, members)
        ends.extend([tracks.ends(layout.phases), *(link.radius for link in links[:-1])])
    return ends


def finish_angle(layout: Layout, phase: int = 0, side: int = 0) -> float:
    """Polar angle at which a phase's last finish is led out, between that coil and the next one around, rad."""
    half, last = layout.envelope.half_sector, layout.order.sides[0][phase][-1]
    angle = last.angle + (half if layout.topology.concentrated else half / 2)
    return -angle if side else angle


def _links(layout: Layout, tracks: Tracks, members: Sequence[SeriesCoil]) -> list[_Link]:
    """The links of one phase, on alternate tracks where a coil wound in reverse would lay two over each other."""
    links: list[_Link] = []
    beside, plain = beside_angle(layout), True
    sector = 2 * layout.envelope.half_sector
    ends = [
        coil.angle + round((after.angle - coil.angle) % (2 * pi) / sector) * sector
        for coil, after in pairwise(members)
    ]
    ends.append(finish_angle(layout, members[-1].phase))
    for coil, end in zip(members, ends, strict=True):
        plain = not coil.last if coil.sense > 0 else not plain
        radius = tracks.radius(coil.phase, plain=plain)
        links.append(_Link(coil, coil.angle + coil.sense * beside, end, radius))
    return links


def beside_angle(layout: Layout) -> float:
    """Angle from start to finish of a coil as they are drawn, rad."""
    return min(ASIDE / _inside(layout), 0.2 * layout.envelope.half_sector)


def _inside(layout: Layout) -> float:
    """Radius in m of the middle of a bundle's outer arc, where wires leave it."""
    return layout.winding.outer_radius - layout.winding.width / 2


def _leads(layout: Layout, tracks: Tracks, links: Sequence[_Link]) -> Iterator[tuple[float, float, float]]:
    """Radial wires: polar angle (rad), inner and outer end (m)."""
    inside = _inside(layout)
    for link, end in zip(links, lead_ends(layout, tracks), strict=True):
        yield link.coil.angle, inside, end
        yield link.start, inside, link.radius
        if link.coil.last:
            yield link.end, link.radius, tracks.ends(layout.phases)


def _stretches(
    layout: Layout, tracks: Tracks, link: _Link, leads: Sequence[tuple[float, float, float]]
) -> Iterator[Stretch]:
    radius, start, end = link.radius, link.start, link.end
    yield Line(rect(_inside(layout), start), rect(radius, start))
    crossed = sorted(
        angle + 2 * pi * ceil((start - angle) / (2 * pi))
        for angle, low, high in leads
        if low + TOUCH < radius < high - TOUCH and TOUCH < (angle - start) % (2 * pi) < (end - start) - TOUCH
    )
    bow = min(0.5 * tracks.apart, 0.4 * radius * beside_angle(layout))
    yield from _arc_with_bows(radius, start, end, crossed, bow)
    out = tracks.ends(layout.phases)
    if link.coil.last and out > radius + TOUCH:
        yield Line(rect(radius, end), rect(out, end))


def _arc_with_bows(
    radius: float, start: float, end: float, crossings: Sequence[float], bow: float
) -> Iterator[Arc]:
    """About the shaft from `start` to `end` (rad), with a bow of radius `bow` (m) outwards at each crossing."""
    half = 2 * asin(bow / (2 * radius))
    passed, after = start, 0.0
    for crossing in crossings:
        yield Arc(0j, radius, passed + after, crossing - half - passed - after)
        yield Arc(rect(radius, crossing), bow, crossing - pi / 2 - half / 2, pi + half)
        passed, after = crossing, half
    yield Arc(0j, radius, passed + after, end - passed - after)
