"""What the page takes on, so that every look is quick, and where a layout does not fit.

Each violation has a place on the drawing, what is claimed twice an area. The command line has no bounds like these.
"""

from __future__ import annotations

import cmath
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import pi

import shapely
from shapely import Point
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from geometry.fit.fit_words import RULES
from geometry.fit.judge import bundle_polygon, magnet_polygons
from geometry.fit.rules import SLACK, Violation
from geometry.machine.layout import Layout
from optimizer.words.page_words import CROSSING_TURNS, narrow_gap, too_many

MOST_MAGNETS, MOST_TURNS = 100, 20_000
FINEST = 300  # largest of the winding's outer radius over the air gap
BETWEEN_COILS = frozenset({"neighbour"})  # rules of a coil shape that leave each coil whole


def too_much_to_draw(layout: Layout) -> str:
    """Why the page does not draw a layout, or nothing."""
    count, turns = layout.carrier.count, layout.winding.turns
    if count > MOST_MAGNETS:
        return too_many("magnets", MOST_MAGNETS, count)
    if turns > MOST_TURNS:
        return too_many("turns", MOST_TURNS, turns)
    return ""


def no_voltage(layout: Layout) -> str:
    """Why a layout has no voltage that the page could show, or nothing."""
    clearances = layout.topology.clearance(layout.envelope)
    if any(float(clearance) < -SLACK for name, clearance in clearances.items() if name not in BETWEEN_COILS):
        return CROSSING_TURNS
    if layout.winding.outer_radius > FINEST * layout.air_gap:
        return narrow_gap(FINEST)
    return ""


COARSE = 2e-5  # m, fineness of an area's outline
SMALLEST = 1e-9  # m², smaller areas are rounding
_NAMES = {rule.text: name for name, rule in RULES.items()}


@dataclass(frozen=True, slots=True)
class Area:
    """An area claimed twice or out of bounds: its outlines as SVG path data in mm, once per sector of `repeat`.

    rotor: whether it turns with the magnets.
    """

    path: str
    repeat: int
    rotor: bool


def place(layout: Layout, violation: Violation, toward: float) -> complex:
    """A point, m, at which the violation shows: of all alike, the one nearest the polar angle `toward` (rad)."""
    spot = _PLACES.get(_NAMES.get(violation.rule, ""), _leg)(layout)
    alike = _alike(layout, rotor=of_rotor(violation))
    return spot * cmath.rect(1, alike * round((toward - cmath.phase(spot)) / alike))


def _alike(layout: Layout, *, rotor: bool) -> float:
    """Angle in rad from a spot of the magnets, or of the winding, to the next one like it."""
    return 4 * pi / (layout.carrier.count if rotor else layout.topology.half_turns(layout.sectors))


def of_rotor(violation: Violation) -> bool:
    """Whether the violation is the magnets' and so turns with them."""
    return violation.key.startswith("carrier")


def _carried(layout: Layout, radius: float, half_pitches: float) -> complex:
    """A point of the carrier, so many half pole pitches from a magnet's axis."""
    return cmath.rect(radius, half_pitches * pi / layout.carrier.count)


def _wound(layout: Layout, half_sectors: float, between: float = 0.5) -> complex:
    """A point of the winding, half sectors from a loop's axis; between: 0 at its inner radius, 1 at its outer."""
    winding = layout.winding
    radius = winding.inner_radius + between * (winding.outer_radius - winding.inner_radius)
    return cmath.rect(radius, half_sectors * pi / layout.sectors)


def _inner_bend(layout: Layout, half_sectors: float) -> complex:
    winding = layout.winding
    return cmath.rect(winding.inner_radius + winding.width / 2, half_sectors * pi / layout.sectors)


def _leg(layout: Layout) -> complex:
    return _wound(layout, 1)


_PLACES: dict[str, Callable[[Layout], complex]] = {
    "pocket_neighbour": lambda m: _carried(m, m.carrier.pitch_radius, 1),
    "pocket_rim": lambda m: _carried(m, float(m.carrier.magnet.reach(m.carrier.pitch_radius)[1]), 0),
    "pocket_bore": lambda m: _carried(m, float(m.carrier.magnet.reach(m.carrier.pitch_radius)[0]), 0),
    "winding_bore": lambda m: _wound(m, 2, 0),
    "winding_rim": lambda m: _wound(m, 2, 1),
    "inner_turn": lambda m: _inner_bend(m, 2),
    "inner_core": lambda m: _inner_bend(m, 2),
    "between_bends": lambda m: _inner_bend(m, 3),
    "neighbour": _leg,
    "hole": lambda m: _wound(m, 2),
}

def areas(layout: Layout, faults: Sequence[Violation]) -> list[Area]:
    """Areas to hatch for the violations; none when the layout fits."""
    names = {_NAMES.get(violation.rule, "") for violation in faults}
    shapes = [*_pocket_shapes(layout, names), *_winding_shapes(layout, names)]
    return [Area(path, repeat, rotor) for shape, repeat, rotor in shapes if (path := _path(shape))]


def _pocket_shapes(layout: Layout, names: set[str]) -> Iterator[tuple[BaseGeometry, int, bool]]:
    carrier, space = layout.carrier, layout.space
    first = magnet_polygons(layout)[0]
    if "pocket_neighbour" in names:
        yield _overlap(first.buffer(space.wall / 2), carrier.count), carrier.count, True
    if names & {"pocket_rim", "pocket_bore"}:
        free = _annulus(space.bore_radius + space.wall, space.outer_radius - space.wall)
        yield first - free, carrier.count, True


def _winding_shapes(layout: Layout, names: set[str]) -> Iterator[tuple[BaseGeometry, int, bool]]:
    if not names & {"winding_bore", "winding_rim", "neighbour"}:
        return
    bundle = shapely.make_valid(bundle_polygon(layout))
    if names & {"winding_bore", "winding_rim"}:
        yield bundle - _annulus(layout.space.bore_radius, layout.space.outer_radius), _around(layout), False
    if "neighbour" in names:
        yield _overlap(bundle, layout.sectors), layout.sectors, False


def _overlap(shape: BaseGeometry, count: int) -> BaseGeometry:
    """What a shape shares with the next of `count` that stand evenly around the shaft."""
    return shape & rotate(shape, 2 * pi / count, origin=(0, 0), use_radians=True)


def _around(layout: Layout) -> int:
    """Bundles evenly around one side: of all coils, or of a serpentine's first phase alone."""
    return layout.topology.coils(layout.sectors)


def _annulus(inner: float, outer: float) -> BaseGeometry:
    if inner >= outer:
        return shapely.Polygon()
    return Point(0, 0).buffer(outer, quad_segs=180) - Point(0, 0).buffer(inner, quad_segs=180)


def _path(shape: BaseGeometry) -> str:
    parts = [p for p in shapely.get_parts(shapely.simplify(shape, COARSE)) if p.area > SMALLEST]
    rings = [ring for part in parts for ring in (part.exterior, *part.interiors)]
    return "".join(
        "M" + "L".join(f"{x * 1e3:.3f} {-y * 1e3:.3f}" for x, y in ring.coords) + "Z" for ring in rings
    )
