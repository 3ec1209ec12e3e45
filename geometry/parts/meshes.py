"""Solids from plane shapes: extruded and joined by manifold3d, which only this file imports.

Shapes come in metres; meshes are in millimetres, the unit of printed parts.
"""

# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# manifold3d leaves the types of its meshes' arrays unknown, shapely's stubs that of set_precision's options

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import degrees
from typing import TypeAlias

import manifold3d
import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, get_parts, set_precision
from shapely.affinity import scale

from geometry.parts.lettering import Shape

GRID_MM = 1e-4  # mm; every corner lies on this grid, so that files in single precision keep a mesh closed
BEYOND = 1e-3  # m; how far a cut reaches out of the face that it opens

Corners: TypeAlias = NDArray[np.float64]
Triangles: TypeAlias = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mesh:
    """A closed surface of triangles, counter-clockwise seen from outside.

    corners_mm: shape (n, 3). triangles: indices of corners, shape (m, 3).
    Raises ValueError unless every edge is shared by two triangles that run it in opposite directions.
    """

    corners_mm: Corners
    triangles: Triangles

    def __post_init__(self) -> None:
        start, end = self.triangles.ravel(), np.roll(self.triangles, -1, axis=1).ravel()
        forward, backward = (np.sort(a * len(self.corners_mm) + b) for a, b in ((start, end), (end, start)))
        if len(forward) == 0 or np.any(np.diff(forward) == 0) or not np.array_equal(forward, backward):
            raise ValueError("a part's mesh must be closed, but has open or doubled edges")

    @property
    def bounds_mm(self) -> tuple[Corners, Corners]:
        """Least and greatest x, y, z in mm, (3,) each."""
        return self.corners_mm.min(axis=0), self.corners_mm.max(axis=0)


@dataclass(frozen=True, slots=True)
class Slab:
    """A plane shape (m) from the height `bottom` to `top` (m)."""

    shape: Shape
    bottom: float
    top: float

    @property
    def volume(self) -> float:
        """m³, by shapely."""
        return self.shape.area * (self.top - self.bottom)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bore:
    """A round hole that lies flat: middle (complex, m), height and direction (rad) of its axis, size (m)."""

    middle: complex
    height: float
    direction: float
    diameter: float
    length: float


def carved(bodies: Iterable[Slab], *, above: Iterable[Slab] = (), below: Iterable[Slab] = ()) -> Mesh:
    """All bodies joined, then cuts taken away: those open upwards and those open downwards.

    A cut ends at the face that it opens and is led a little beyond it here; bodies must reach into others.
    Faces that merely touch would be a matter of rounding.
    """
    cuts = [Slab(cut.shape, cut.bottom, cut.top + BEYOND) for cut in above]
    cuts += [Slab(cut.shape, cut.bottom - BEYOND, cut.top) for cut in below]
    return _mesh(_union(bodies) - _union(cuts))


def piece_of(mesh: Mesh, sector: Polygon, bores: Iterable[Bore]) -> Mesh:
    """What of a mesh stands over `sector` (m), less some bores."""
    low, high = (bound * 1e-3 for bound in mesh.bounds_mm)
    piece = _solid(mesh) ^ _prism(Slab(sector, float(low[2]) - BEYOND, float(high[2]) + BEYOND))
    for bore in bores:
        piece -= _cylinder(bore)
    return _mesh(piece)


def _prism(slab: Slab) -> manifold3d.Manifold:
    shape = set_precision(scale(slab.shape, 1e3, 1e3, origin=(0, 0)), GRID_MM)
    rings = [ring for part in get_parts(shape) for ring in (part.exterior, *part.interiors)]
    contours = [np.asarray(ring.coords, float)[:-1] for ring in rings]
    section = manifold3d.CrossSection(contours, manifold3d.FillRule.EvenOdd)
    return section.extrude((slab.top - slab.bottom) * 1e3).translate((0, 0, slab.bottom * 1e3))


def _union(slabs: Iterable[Slab]) -> manifold3d.Manifold:
    return manifold3d.Manifold.batch_boolean([_prism(slab) for slab in slabs], manifold3d.OpType.Add)


def _cylinder(bore: Bore) -> manifold3d.Manifold:
    upright = manifold3d.Manifold.cylinder(
        bore.length * 1e3, bore.diameter * 5e2, circular_segments=32, center=True
    )
    lying = upright.rotate((0, 90, 0)).rotate((0, 0, degrees(bore.direction)))
    return lying.translate((bore.middle.real * 1e3, bore.middle.imag * 1e3, bore.height * 1e3))


def _solid(mesh: Mesh) -> manifold3d.Manifold:
    return manifold3d.Manifold(
        manifold3d.Mesh64(np.ascontiguousarray(mesh.corners_mm), mesh.triangles.astype(np.uint64))
    )


def _mesh(solid: manifold3d.Manifold) -> Mesh:
    """The mesh in one fixed order, whatever order the boolean left its corners in."""
    raw = solid.to_mesh64()
    on_grid = np.round(np.asarray(raw.vert_properties)[:, :3] / GRID_MM).astype(np.int64)
    corners, place = np.unique(on_grid, axis=0, return_inverse=True)
    triangles = place.ravel()[np.asarray(raw.tri_verts).astype(np.int64)]
    whole = np.all(triangles != np.roll(triangles, 1, axis=1), axis=1)
    triangles = triangles[whole]
    first = np.argmin(triangles, axis=1)[:, None]
    triangles = np.take_along_axis(triangles, (first + np.arange(3)) % 3, axis=1)
    triangles = triangles[np.lexsort(triangles.T[::-1])]
    return Mesh(corners_mm=np.asarray(corners * GRID_MM, np.float64), triangles=triangles)
