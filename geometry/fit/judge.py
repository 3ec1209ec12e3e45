"""The judge: shapely lays the coils out in the annulus and says where they share space.

Independent of the closed-form rules in `fit.py`; the search asks it about every finalist, the tests set the
two against each other.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from shapely import (
    LinearRing,
    LineString,
    Point,
    Polygon,
    STRtree,
    dwithin,
    get_coordinates,
    get_parts,
    prepare,
    set_coordinates,
    unary_union,
)

from geometry.coils.topology import sector_axes
from geometry.curves.curve import Curve, polyline
from geometry.machine.layout import Layout

STEP, SAGITTA = 1e-3, 2e-7  # m, fineness of the polygons
SLACK = 5e-7  # m; what shares less than this (or twice this, of two) is taken to touch
SHAFT = Point(0, 0)


def polygon_ring(curve: Curve) -> LinearRing:
    """A closed curve as a ring of points, m."""
    points = polyline(curve, step=STEP, sagitta=SAGITTA)
    return LinearRing(np.column_stack((points.real, points.imag)))


def bundle_polygon(layout: Layout, slack: float = 0.0) -> Polygon:
    """The bundle of the coil whose axis is the x axis, insulation included, m, each side in by `slack`."""
    half = layout.winding.width / 2 - slack
    outside, inside = (polygon_ring(layout.topology.turn(layout.envelope, side)) for side in (half, -half))
    return Polygon(outside, [inside])


def coil_polygons(layout: Layout, slack: float = 0.0) -> list[Polygon]:
    """The bundles of all coils, m."""
    return _turned(bundle_polygon(layout, slack), layout.order.axes)


def cut_bundles(layout: Layout) -> list[list[tuple[float, float]]]:
    """Of each phase, from where to where along the x axis the plane through it and the shaft meets bundles, m."""
    reach = 2 * layout.winding.outer_radius
    plane, coils = LineString([(-reach, 0), (reach, 0)]), coil_polygons(layout, SLACK)
    found: list[list[tuple[float, float]]] = []
    for members in layout.order.members:
        met = unary_union([coils[index] for index, _ in members]).intersection(plane)
        bounds = [part.bounds for part in get_parts(met).tolist() if part.length > 0]
        found.append(sorted((left, right) for left, _, right, _ in bounds))
    return found


def magnet_polygons(layout: Layout) -> list[Polygon]:
    """The magnets' faces, m."""
    carrier = layout.carrier
    face = Polygon(polygon_ring(carrier.magnet.outline(carrier.pitch_radius)))
    return _turned(face, sector_axes(carrier.count))


def _turned(shape: Polygon, angles: Sequence[float]) -> list[Polygon]:
    """A copy of the shape for each angle, rad, turned by it about the shaft."""
    x, y = get_coordinates(shape).T
    turned = np.exp(1j * np.asarray(angles))[:, None] * (x + 1j * y)
    corners = np.column_stack((turned.real.ravel(), turned.imag.ravel()))
    return set_coordinates(np.full(len(angles), shape, object), corners).tolist()


def overlaps(layout: Layout) -> list[str]:
    """What shares space or leaves the annulus, in words; empty when nothing does."""
    return [*_winding_faults(layout), *_carrier_faults(layout)]


def _winding_faults(layout: Layout) -> list[str]:
    coils = coil_polygons(layout, SLACK)
    bundle = coils[0]
    if not bundle.is_valid:
        return ["the bundle crosses itself"]
    faults: list[str] = []
    if any(_doubles_back(ring) for ring in (bundle.exterior, *bundle.interiors)):
        faults.append("two stretches of the bundle share space")
    apart = layout.topology.concentrated  # the bundles of a three-phase serpentine lie one above the other
    if apart and _hole_too_small(layout, bundle):
        faults.append("no peg fits in the coil's hole")
    if not _within_annulus(layout, bundle, 0.0):
        faults.append("the winding leaves the annulus between bore and rim")
    if apart and _others(STRtree(coils).query(bundle, "intersects")):
        faults.append("two coils share space")
    return faults


def _hole_too_small(layout: Layout, bundle: Polygon) -> bool:
    """Whether no peg fits in the coil's hole, or the bundle has grown past the hole's middle."""
    prepare(bundle.exterior)
    passed = dwithin(bundle.exterior, bundle.interiors[0], layout.winding.width - 4 * SLACK)
    return bool(passed) or Polygon(bundle.interiors[0]).buffer(SLACK - layout.winding.peg_radius).is_empty


def _doubles_back(ring: LinearRing) -> bool:
    x, y = get_coordinates(ring).T
    chords = np.diff(x + 1j * y)
    chords = chords[np.abs(chords) > SLACK]
    return bool(np.any((np.roll(chords, -1) * chords.conj()).real < 0))


def _within_annulus(layout: Layout, shape: Polygon, wall: float) -> bool:
    reach, minimum = shape.hausdorff_distance(SHAFT), shape.distance(SHAFT)
    space = layout.space
    return reach <= space.outer_radius - wall + SLACK and minimum >= space.bore_radius + wall - SLACK


def _carrier_faults(layout: Layout) -> list[str]:
    wall, faces = layout.space.wall, magnet_polygons(layout)
    faults: list[str] = []
    tree, smaller = STRtree(faces), faces[0].buffer(-SLACK)  # which share more than edges, for a carrier without walls
    if _others(tree.query(faces[0], "dwithin", wall - 2 * SLACK)) or _others(tree.query(smaller, "intersects")):
        faults.append("the wall between two magnet pockets is too thin")
    if not _within_annulus(layout, faces[0], wall):
        faults.append("the wall from a magnet pocket to rim or bore is too thin")
    return faults


def _others(found: NDArray[np.int64]) -> bool:
    """Whether the first of equal shapes evenly about the shaft meets another, and so any other the next."""
    return bool(np.any(found > 0))
