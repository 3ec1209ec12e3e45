"""Where a layout does not fit: a place on the drawing for every misfit, and the area that is claimed twice."""

from __future__ import annotations

import cmath
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import pi

import shapely
from shapely import Point
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from geometry.fit.judge import bundle_polygon, magnet_polygons
from geometry.fit.rules import RULES, Violation
from geometry.machine.layout import Layout

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
    """A point, m, at which the misfit shows: of all alike, the one nearest the polar angle `toward` (rad)."""
    spot = _PLACES.get(_NAMES.get(violation.rule, ""), _leg)(layout)
    alike = _alike(layout, rotor=of_rotor(violation))
    return spot * cmath.rect(1, alike * round((toward - cmath.phase(spot)) / alike))


def _alike(layout: Layout, *, rotor: bool) -> float:
    """Angle in rad from a spot of the magnets, or of the winding, to the next one like it."""
    if rotor or not layout.topology.concentrated:
        return 4 * pi / layout.carrier.count
    return 2 * pi / layout.sectors


def of_rotor(violation: Violation) -> bool:
    """Whether the misfit is the magnets' and so turns with them."""
    return violation.key.startswith("carrier")


def _at(radius: float, half_pitches: float) -> Callable[[Layout], complex]:
    return lambda layout: cmath.rect(radius, half_pitches * pi / layout.carrier.count)


def _wound(radius: float, half_sectors: float) -> Callable[[Layout], complex]:
    return lambda layout: cmath.rect(radius, half_sectors * pi / layout.sectors)


def _leg(layout: Layout) -> complex:
    winding = layout.winding
    return _wound((winding.inner_radius + winding.outer_radius) / 2, 1)(layout)


def _inner_corner(layout: Layout) -> complex:
    winding = layout.winding
    return _wound(winding.inner_radius + winding.width / 2, 2)(layout)


_PLACES: dict[str, Callable[[Layout], complex]] = {
    "pocket_neighbour": lambda m: _at(m.carrier.pitch_radius, 1)(m),
    "pocket_rim": lambda m: _at(float(m.carrier.magnet.reach(m.carrier.pitch_radius)[1]), 0)(m),
    "pocket_bore": lambda m: _at(float(m.carrier.magnet.reach(m.carrier.pitch_radius)[0]), 0)(m),
    "winding_bore": lambda m: _wound(m.winding.inner_radius, 2)(m),
    "winding_rim": lambda m: _wound(m.winding.outer_radius, 2)(m),
    "inner_turn": _inner_corner,
    "inner_core": _inner_corner,
    "between_bends": lambda m: _wound(m.winding.inner_radius + m.winding.width / 2, 3)(m),
    "neighbour": _leg,
    "hole": lambda m: _wound((m.winding.inner_radius + m.winding.outer_radius) / 2, 2)(m),
}


def areas(layout: Layout, found: Sequence[Violation]) -> list[Area]:
    """Areas to hatch for the misfits found; none when the layout fits."""
    names = {_NAMES.get(violation.rule, "") for violation in found}
    shapes = [*_pocket_shapes(layout, names), *_winding_shapes(layout, names)]
    return [Area(path, repeat, rotor) for shape, repeat, rotor in shapes if (path := _path(shape))]


def _pocket_shapes(layout: Layout, names: set[str]) -> Iterator[tuple[BaseGeometry, int, bool]]:
    carrier, space = layout.carrier, layout.space
    first = magnet_polygons(layout)[0]
    if "pocket_neighbour" in names:
        pocket = first.buffer(space.wall / 2)
        yield (
            pocket & rotate(pocket, 2 * pi / carrier.count, origin=(0, 0), use_radians=True),
            carrier.count,
            True,
        )
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
        yield (
            bundle & rotate(bundle, 2 * pi / layout.sectors, origin=(0, 0), use_radians=True),
            layout.sectors,
            False,
        )


def _around(layout: Layout) -> int:
    """Bundles evenly around one side: of all coils, or of a serpentine's first phase alone."""
    return layout.sectors if layout.topology.concentrated else 1


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
