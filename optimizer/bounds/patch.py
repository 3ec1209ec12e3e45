"""A patch of the winding's plane, the turns that share it, and the programs' splines and Gauss points on it."""

# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# scipy.sparse has no types

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from scipy import sparse
from scipy.interpolate import BSpline

from geometry.curves.curve import Real, Whole
from optimizer.numerics.quadrature import gauss

Flux = Callable[[Real, Real], tuple[Real, Real]]
"""Both components of a flux, along u and along v, at places (u, v): arrays of one shape."""

_EDGES: dict[str, Any] = {"low": np.s_[0], "high": np.s_[-1], "start": np.s_[:, 0], "end": np.s_[:, -1]}


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """A rectangle of coordinates u and v, cut into equal cells.

    low, high: of u; width: of v, which begins at 0; in any one unit, or v in rad where u is a radius. polar: whether u
    is the radius and v the polar angle, else both are straight. cells: along u and along v. free: the edges, of
    "low", "high", "start" (v = 0) and "end", that the winding's stream function meets as a mirror; on the others it
    is 0.
    phases: 1; or 3 that share the room, v then being a quarter of the first one's wave, its cells a multiple of 3.
    """

    low: float
    high: float
    width: float
    polar: bool
    cells: tuple[int, int]
    free: frozenset[str]
    phases: int = 1

    def edges(self, axis: int) -> Real:
        """Edges of the cells along u (axis 0) or v (axis 1), in its unit, (cells + 1,)."""
        low, high = ((self.low, self.high), (0.0, self.width))[axis]
        return np.linspace(low, high, self.cells[axis] + 1)

    def inside(self, more: int, zero: frozenset[str]) -> Whole:
        """Indices (I,), in an array (cells_u + more, cells_v + more) flattened, of what is not on the edges `zero`."""
        stays = np.ones(tuple(count + more for count in self.cells), bool)
        for edge in zero:
            stays[_EDGES[edge]] = False
        return np.flatnonzero(stays)

    @property
    def walls(self) -> frozenset[str]:
        """The edges that are not free."""
        return frozenset(_EDGES) - self.free

    def sharing(self, points: int) -> Whole:
        """Which of `points` samples along each side of each cell, v running fastest, share their room: (members, T).

        Where the first phase has the angle φ from 0 to 30°, the other two have what it has, up to sign, at 60° + φ
        and, mirrored, at 60° − φ.
        """
        across = self.cells[1] * points
        index = np.arange(self.cells[0] * points * across).reshape(-1, across)
        third = across // 3
        members = index[:, :third], index[:, 2 * third :], index[:, third : 2 * third][:, ::-1]
        return np.stack([each.ravel() for each in members]) if self.phases == 3 else index.reshape(1, -1)


MIRRORED = np.array([[1.0], [1.0], [-1.0]])
"""Of the members that share their room, −1 for the one that is seen in a mirror."""


@dataclass(frozen=True, slots=True)
class Samples:
    """Gauss points of a patch: u, v and area of each, (J,), and of every product of a spline along u and one along v
    the derivatives there along u and along v, per unit of length, sparse (J, products)."""

    u: Real
    v: Real
    area: Real
    along_u: Any
    along_v: Any

    def gradient(self, coefficients: Real) -> Real:
        """Gradient of a spline with these coefficients (products,), per unit of length, (2, J)."""
        return np.stack([self.along_u @ coefficients, self.along_v @ coefficients])


@lru_cache(maxsize=128)
def samples(patch: Patch, points: int, degree: int) -> Samples:
    """`points` Gauss points along each side of each cell, for splines of `degree` 1 or 2."""
    nodes, shares = gauss(points)
    steps = [np.diff(patch.edges(axis)) for axis in (0, 1)]
    places = [(patch.edges(axis)[:-1, None] + steps[axis][:, None] * nodes).ravel() for axis in (0, 1)]
    u, v = (each.ravel() for each in np.meshgrid(*places, indexing="ij"))
    metric = u if patch.polar else np.ones_like(u)
    area = np.outer(*(np.outer(step, shares).ravel() for step in steps)).ravel() * metric
    return Samples(u, v, area, *gradients(patch, (places[0], places[1]), degree))


def gradients(patch: Patch, places: tuple[Real, Real], degree: int) -> tuple[Any, Any]:
    """Derivatives along u and v, per unit of length, of products of splines at each pair of `places`, (U,) (V,)."""
    splines: list[tuple[Any, Any]] = []
    for axis in (0, 1):
        knots = np.pad(patch.edges(axis), degree, mode="edge")
        slopes = BSpline(knots, np.eye(knots.size - degree - 1), degree).derivative()
        values = BSpline.design_matrix(places[axis], knots, degree).tocsr()
        splines.append((values, sparse.csr_matrix(slopes(places[axis]))))
    (at_u, slope_u), (at_v, slope_v) = splines
    metric = np.repeat(places[0] if patch.polar else np.ones_like(places[0]), places[1].size)
    return sparse.kron(slope_u, at_v, "csr"), sparse.diags(1 / metric) @ sparse.kron(at_u, slope_v, "csr")
