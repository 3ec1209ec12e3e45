"""The pegs and cores of the former that the coils are wound on, seen along the shaft."""

from __future__ import annotations

import cmath
from collections.abc import Iterator
from math import acos, pi

from geometry.curve import Arc
from geometry.filaments import coil_senses
from geometry.layout import Layout
from geometry.primitives import Circle, Path, outline, outlines, point
from geometry.topology import sector_axes

SAME = 1e-7  # m; pegs nearer than this are one


def pegs(layout: Layout, side: int = 0) -> list[tuple[complex, float]]:
    """Centre (complex, m) and radius (m) of every round post of the former; `side` 1 is the first's mirror image.

    One peg in each rounded corner of a serpentine or wedge, one core that fills the hole of a round coil.
    The bundles of a three-phase serpentine are wound one after another on the same former, that of the first.
    Pegs that coincide (a half turn about one peg) are listed once; pegs that overlap are all listed.
    """
    turns = [cmath.rect(1, angle) for angle in _repeats(layout)]
    posts = [(center * turn, radius) for center, radius in _coil_posts(layout) for turn in turns]
    kept: list[tuple[complex, float]] = []
    for center, radius in posts:
        if radius > 0 and not any(abs(center - other) < SAME for other, _ in kept):
            kept.append((center, radius))
    if side:
        kept = [(center.conjugate(), radius) for center, radius in kept]
    return sorted(kept, key=lambda post: (round(abs(post[0]), 9), round(cmath.phase(post[0]) % (2 * pi), 9)))


def peg_outlines(layout: Layout, side: int = 0) -> list[Path | Circle]:
    """What the pegs cover, as closed outlines: overlapping pegs make one."""
    circles = [Circle(*post) for post in pegs(layout, side)]
    alone: list[Path | Circle] = []
    arcs: list[Arc] = []
    for circle in circles:
        covered = [span for other in circles if other is not circle for span in _covered(circle, other)]
        if covered:
            arcs.extend(_free_arcs(circle, covered))
        else:
            alone.append(circle)
    return [*alone, *outlines(_loops(arcs))]


def _coil_posts(layout: Layout) -> list[tuple[complex, float]]:
    """The posts of the coil, or of the loop of a serpentine, whose axis is the x axis."""
    envelope, corners = layout.envelope, layout.topology.corners
    if corners is None:
        if float(envelope.span) / 2 <= layout.winding.width:  # the bundle leaves no hole
            return []
        hole = outline(layout.topology.turn(envelope, -layout.winding.width / 2))
        return [(hole.center, hole.radius)] if isinstance(hole, Circle) else []
    centers = [point(corner(envelope, 0.0).center) for corner in corners]
    return [(z, envelope.peg_radius) for center in centers for z in (center, center.conjugate())]


def _repeats(layout: Layout) -> list[float]:
    """Polar angles of the axes of all coils, or of all loops of a serpentine, rad."""
    if layout.topology.per_sector:
        return [angle for angle, _ in coil_senses(layout)]
    return sector_axes(layout.carrier.count)[::2]


def _covered(circle: Circle, other: Circle) -> Iterator[tuple[float, float]]:
    """Start and sweep of the angles of `circle` that lie inside `other`, rad."""
    apart = other.center - circle.center
    distance, radius = abs(apart), circle.radius
    if distance + radius <= other.radius:
        yield 0.0, 2 * pi
    elif abs(radius - other.radius) < distance < radius + other.radius - SAME:
        half = acos((distance**2 + radius**2 - other.radius**2) / (2 * distance * radius))
        yield (cmath.phase(apart) - half) % (2 * pi), 2 * half


def _free_arcs(circle: Circle, covered: list[tuple[float, float]]) -> Iterator[Arc]:
    """What is left of a circle, counter-clockwise, when the `covered` spans of angle are taken out."""
    spans = sorted(covered)
    reach = max((start + sweep - 2 * pi for start, sweep in spans), default=0.0)
    spans.append((spans[0][0] + 2 * pi, 0.0))
    reach = max(reach, spans[0][0])
    for start, sweep in spans:
        if start > reach:
            yield Arc(circle.center, circle.radius, reach, start - reach)
        reach = max(reach, start + sweep)


def _loops(arcs: list[Arc]) -> Iterator[list[Arc]]:
    """Arcs chained end to start into closed loops."""
    left = list(arcs)
    while left:
        loop = [left.pop(0)]
        start = point(loop[0].at(0))
        while left:
            end = point(loop[-1].at(1))
            nearest = min(left, key=lambda arc: abs(point(arc.at(0)) - end))
            if abs(end - start) <= abs(point(nearest.at(0)) - end):
                break
            left.remove(nearest)
            loop.append(nearest)
        yield loop
