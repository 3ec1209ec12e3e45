"""The judge: shapely lays the coils out in the annulus and says where they share space.

Independent of the closed-form rules in `fit.py`; the search asks it about every finalist, the tests set the two
against each other.
"""

from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np
from shapely import LinearRing, Point, Polygon, STRtree
from shapely.affinity import rotate

from geometry.curve import Curve, polyline
from geometry.filaments import coil_senses
from geometry.layout import Layout
from geometry.topology import sector_axes

STEP, SAGITTA = 1e-3, 2e-7  # m, fineness of the polygons
TOLERANCE = 2e-8  # m², area that two polygons may share by their chords alone


def polygon_ring(curve: Curve) -> LinearRing:
    """A closed curve as a ring of points, m."""
    points = polyline(curve, step=STEP, sagitta=SAGITTA)
    return LinearRing(np.column_stack((points.real, points.imag)))


def bundle_polygon(layout: Layout) -> Polygon:
    """The bundle of the coil whose axis is the x axis, insulation included, m."""
    half = layout.winding.width / 2
    outside, inside = (polygon_ring(layout.topology.turn(layout.envelope, side)) for side in (half, -half))
    return Polygon(outside, [inside])


def coil_polygons(layout: Layout) -> list[Polygon]:
    """The bundles of all coils, m."""
    bundle = bundle_polygon(layout)
    return [rotate(bundle, angle, origin=(0, 0), use_radians=True) for angle, _ in coil_senses(layout)]


def annulus_polygon(layout: Layout) -> Polygon:
    """What lies between bore and rim, m, from circumscribed circles."""
    rim = Point(0, 0).buffer(layout.space.outer_radius + 5e-8, quad_segs=2048)
    return Polygon(rim.exterior, [Point(0, 0).buffer(layout.space.bore_radius - 5e-8, quad_segs=2048).exterior])


def magnet_polygons(layout: Layout) -> list[Polygon]:
    """The magnets seen along the shaft, m."""
    carrier = layout.carrier
    return [
        Point(carrier.pitch_radius * np.cos(angle), carrier.pitch_radius * np.sin(angle)).buffer(
            carrier.magnet.diameter / 2, quad_segs=256
        )
        for angle in sector_axes(carrier.count)
    ]


def overlaps(layout: Layout) -> list[str]:
    """What shares space or leaves the annulus, in words; empty when nothing does."""
    return [*_winding_faults(layout), *_carrier_faults(layout)]


def _winding_faults(layout: Layout) -> list[str]:
    bundle = bundle_polygon(layout)
    if not bundle.is_valid:
        return ["the bundle crosses itself"]
    faults: list[str] = []
    expected = layout.winding.width * float(layout.topology.turn_length(layout.envelope)) / layout.coils
    if abs(bundle.area - expected) > 1e-4 * expected:
        faults.append("two stretches of the bundle share space")
    if bundle.difference(annulus_polygon(layout)).area > TOLERANCE:
        faults.append("the winding leaves the annulus between bore and rim")
    coils = coil_polygons(layout)
    if any(a.intersection(b).area > TOLERANCE for a, b in _touching(coils)):
        faults.append("two coils share space")
    return faults


def _carrier_faults(layout: Layout) -> list[str]:
    wall, magnets = layout.space.wall, magnet_polygons(layout)
    faults: list[str] = []
    if any(a.distance(b) < wall - 1e-7 for a, b in _neighbours(magnets)):
        faults.append("the wall between two magnet pockets is too thin")
    magnet = magnets[0]
    rim = Point(0, 0).buffer(layout.space.outer_radius, quad_segs=2048)
    bore = Point(0, 0).buffer(layout.space.bore_radius, quad_segs=2048)
    if not rim.contains(magnet) or magnet.distance(rim.exterior) < wall - 1e-7:
        faults.append("the wall from a magnet pocket to the rim is too thin")
    if magnet.distance(bore) < wall - 1e-7:
        faults.append("the wall from a magnet pocket to the bore is too thin")
    return faults


def _touching(polygons: list[Polygon]) -> list[tuple[Polygon, Polygon]]:
    pairs = STRtree(polygons).query(polygons, predicate="intersects").T.tolist()
    return [(polygons[a], polygons[b]) for a, b in pairs if a < b]


def _neighbours(polygons: list[Polygon]) -> list[tuple[Polygon, Polygon]]:
    if len(polygons) < 3:
        return list(combinations(polygons, 2))
    return [*pairwise(polygons), (polygons[-1], polygons[0])]
