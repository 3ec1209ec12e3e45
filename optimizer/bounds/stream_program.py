"""How much a planar winding of any shape can link: a convex program over stream functions, certified by its dual.

A winding that fills its height evenly is a stream function ψ: its turns run along the contours, |∇ψ| of them per metre.
On a patch of the winding's plane, with the density of turns and the length of wire limited,

    maximise ∫ ψ B dA   while   |∇ψ| ≤ 1 everywhere   and   ∫ |∇ψ| dA ≤ length.

Every flux q with −div q = B that does not cross the patch's free edges gives, for every price μ ≥ 0 of wire, a bound,

    ∫ ψ B dA = ∫ q·∇ψ dA ≤ μ · length + ∫ max(|q| − μ, 0) dA,

and the least such bound is the maximum itself (Strang, J. Global Optim. 47 (2010) 527, for the two limits one by
one). Here q = q₀ + curl w with one q₀ that is known in closed form and w a quadratic spline: −div q = B holds exactly,
so what is printed is a bound whatever the grid, but for the last sum's quadrature; a coarse grid only makes it larger.
From the other side comes a bilinear ψ that keeps both limits.
"""

# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# scipy.sparse has no types

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy import sparse

from geometry.curves.curve import Real
from optimizer.bounds.conic import solve_cones
from optimizer.bounds.patch import Flux, Patch, gradients, samples

SOLVED, SUMMED = 4, 6  # Gauss points across a cell: where the program looks, and where its bound is summed
FINER = 2  # times as many cells along each side for the stream function
CORNER = 1e-9  # of a cell, how far inside its corners gradients are taken


@dataclass(frozen=True, slots=True)
class Certificate:
    """A bound of ∫ ψ B dA as `bound_of` has it, (2,), the price μ of wire, and the coefficients (products,) of w that
    give it; all in the units of the patch and the flux."""

    parts: Real
    price: float
    curl: Real

    @property
    def value(self) -> float:
        """The bound, in the units of the patch and the flux."""
        return float(self.parts.sum())

    def flux(self, patch: Patch, known: Flux) -> Real:
        """q, in the unit of `known`, q₀, at the patch's `SUMMED` Gauss points, (2, J)."""
        return _flux(patch, known, self.curl)


def certify(patch: Patch, known: Flux, length: float) -> Certificate:
    """The least bound on the patch's grid. known: q₀; length: above 0, in the patch's unit squared.

    Should the solver fail, what q₀ gives by itself is a bound as well: w = 0, at the price at which the places with
    more flux take just the wire there is.

    Variables of the program: w's coefficients, the excess of |q| over the price at each place, the price.
    """
    at, members = samples(patch, SOLVED, 2), patch.sharing(SOLVED)
    kept, rows, places = patch.inside(2, patch.free), members.ravel(), members.shape[1]
    place = sparse.csr_matrix(
        (np.ones(rows.size), (np.arange(rows.size), np.tile(np.arange(places), members.shape[0])))
    )
    blank = sparse.csr_matrix((rows.size, places + 1))
    limit = sparse.hstack(
        [sparse.csr_matrix((rows.size, kept.size)), place, sparse.csr_matrix(np.ones((rows.size, 1)))]
    )
    turned = at.along_v[rows][:, kept], -at.along_u[rows][:, kept]
    positive = sparse.hstack([sparse.csr_matrix((places + 1, kept.size)), -sparse.identity(places + 1)])
    solution = solve_cones(
        np.concatenate([np.zeros(kept.size), at.area[members[0]], [length]]),
        (positive, np.zeros(places + 1)),
        (limit, sparse.hstack([turned[0], blank]), sparse.hstack([turned[1], blank])),
        np.stack(known(at.u[rows], at.v[rows])),
    )
    curl = np.zeros(at.along_u.shape[1])
    if solution is None:
        price = _plain_price(patch, known, length)
    else:
        curl[kept], price = solution[: kept.size], max(float(solution[-1]), 0.0)
    size = np.hypot(*_flux(patch, known, curl))
    return Certificate(bound_of(patch, size, length, price), price, curl)


def _plain_price(patch: Patch, known: Flux, length: float) -> float:
    """The best price for q₀ alone, in its unit."""
    at = samples(patch, SUMMED, 2)
    size = np.hypot(*known(at.u, at.v))
    most = np.argsort(-size)
    used = int((np.cumsum(at.area[most]) < length).sum())
    return float(size[most[used]]) if used < size.size else 0.0


def _flux(patch: Patch, known: Flux, curl: Real) -> Real:
    at = samples(patch, SUMMED, 2)
    along_u, along_v = at.gradient(curl)
    return np.stack(known(at.u, at.v)) + np.stack([along_v, -along_u])


def bound_of(patch: Patch, size: Real, length: float, price: float) -> Real:
    """The bound that |q| (J,) at the `SUMMED` Gauss points and a price give: of those who share a place, the most.

    In two parts, (2,): what goes with the length of wire, and what goes with the turns per metre that are let in.
    """
    members = patch.sharing(SUMMED)
    excess = np.maximum(size[members].max(axis=0) - price, 0)
    return np.array([price * length, excess @ samples(patch, SUMMED, 2).area[members[0]]])


@dataclass(frozen=True, slots=True)
class StreamFunction:
    """A winding that keeps both limits: u (U,), v (V,), ψ at their pairs (U, V), and what it links, ∫ ψ B dA; in the
    units of the patch and the flux."""

    u: Real
    v: Real
    values: Real
    linked: float


def best_stream(patch: Patch, known: Flux, length: float) -> StreamFunction:
    """The best bilinear ψ on a finer grid. known: q₀; length: above 0, in the patch's unit squared.

    On a cell both parts of ∇ψ are straight along one side and even along the other, so that |∇ψ| is greatest at a
    corner and its mean at most the corners' mean. Variables of the program: ψ at the grid's nodes, |∇ψ| at the corners.
    Should the solver fail, ψ = 0.
    """
    fine = replace(patch, cells=(patch.cells[0] * FINER, patch.cells[1] * FINER))
    kept, members = fine.inside(1, fine.walls), fine.sharing(2)
    ends = [
        np.stack([edges[:-1] + CORNER * step, edges[1:] - CORNER * step], axis=1).ravel()
        for edges in (fine.edges(0), fine.edges(1))
        for step in (np.diff(edges),)
    ]
    along_u, along_v = (each[:, kept] for each in gradients(fine, (ends[0], ends[1]), 1))
    radius = np.repeat(ends[0] if fine.polar else np.ones_like(ends[0]), ends[1].size)
    cell = (fine.high - fine.low) * fine.width / (fine.cells[0] * fine.cells[1])
    at = samples(fine, 3, 1)
    flux = np.stack(known(at.u, at.v)) * at.area
    linked = at.along_u.T @ flux[0] + at.along_v.T @ flux[1]
    corners, rooms = along_u.shape[0], members.shape[1]
    sums = sparse.csr_matrix(
        (np.ones(members.size), (np.tile(np.arange(rooms), members.shape[0]), members.ravel())),
        shape=(rooms, corners),
    )
    limits = sparse.vstack([sums, sparse.csr_matrix(radius * cell / 4)])
    blank, own = sparse.csr_matrix((corners, corners)), sparse.identity(corners)
    solution = solve_cones(
        np.concatenate([-linked[kept], np.zeros(corners)]),
        (
            sparse.hstack([sparse.csr_matrix((rooms + 1, kept.size)), limits]),
            np.append(np.ones(rooms), length),
        ),
        (
            sparse.hstack([sparse.csr_matrix((corners, kept.size)), own]),
            sparse.hstack([along_u, blank]),
            sparse.hstack([along_v, blank]),
        ),
        np.zeros((2, corners)),
    )
    values = np.zeros(linked.size)
    if solution is not None:
        values[kept] = solution[: kept.size]
    shape = fine.cells[0] + 1, fine.cells[1] + 1
    return StreamFunction(fine.edges(0), fine.edges(1), values.reshape(shape), float(linked @ values))
