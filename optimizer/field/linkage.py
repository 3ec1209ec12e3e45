"""From coil shape to EMF: a turn's EMF is a linear functional of the pole harmonics over the radius.

A filament turning at ω gives e(θ) = ω ∮ r B_z dr. With B_z(r, φ) = Σ b_k(r) cos(k p φ), and every turn made of
half turns that mirror each other about a magnet's axis, the ring of coils gives

    e(θ) = ω · half_turns · Σ_k sin(k p θ) · ∫ r b_k(r) sin(k p ψ) dr,

the integral along one half turn at polar angle ψ(r) from its loop's axis. That integral is a fixed row of weights
on the radial grid, whatever the magnets, so it is written once here and serves one layout or a million.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from geometry.coils.envelope import Envelope
from geometry.coils.topology import Topology
from geometry.curves.curve import Arc, Real, Stretch
from optimizer.numerics.quadrature import POINTS, gauss, lagrange_stencil


def flux_cutting(stretches: Sequence[Stretch], nodes: Sequence[int]) -> tuple[Real, Real, Real]:
    """Quadrature of ∫ r … dr along stretches whose fields have shape S: radius, polar angle and weight, S + (Q,).

    nodes: Gauss points for each stretch. Stretches about the shaft cut nothing and are left out.
    """
    radius: list[Real] = []
    angle: list[Real] = []
    weight: list[Real] = []
    for stretch, count in zip(stretches, nodes, strict=True):
        if isinstance(stretch, Arc) and stretch.about_shaft:
            continue
        t, w = gauss(count)
        lifted = _lift(stretch)
        points, tangents = np.broadcast_arrays(lifted.at(t), lifted.tangent(t))
        radius.append(np.abs(points))
        angle.append(np.angle(points))
        weight.append(np.real(np.conj(points) * tangents) * w)  # r dr
    shape = np.broadcast_shapes(*(part.shape[:-1] for part in radius))
    joined = [
        np.concatenate([np.broadcast_to(p, (*shape, p.shape[-1])) for p in q], axis=-1)
        for q in (radius, angle, weight)
    ]
    return joined[0], joined[1], joined[2]


def functional(radius: Real, angle: Real, weight: Real, grid: Real, poles: Real) -> Real:
    """Rows of weights on the radial `grid` (R,) that turn b_k into ∫ r b_k sin(k p ψ) dr.

    radius, angle, weight: (E, Q), one row per envelope; poles: (K,) the products k·p. Returns (K, E, R).
    """
    rows, size = radius.shape[0], grid.size
    first, stencil = lagrange_stencil(grid, radius)
    column = first + size * np.arange(rows)[:, None]
    result = np.empty((poles.size, rows, size))
    columns = (column + np.arange(POINTS)[:, None, None]).ravel()
    for k, order in enumerate(poles):
        values = stencil * (weight * np.sin(order * angle))
        result[k] = np.bincount(columns, values.ravel(), minlength=rows * size).reshape(rows, size)
    return result


def half_turn_functional(
    topology: Topology, envelope: Envelope, offsets: Real, grid: Real, poles: Real
) -> Real:
    """`functional` of the turns at `offsets` (U,) of one scalar envelope, shape (K, U, R)."""
    stretches = topology.half_turn(envelope, offsets)
    return functional(*flux_cutting(stretches, node_counts(stretches, grid)), grid, poles)


def bundle_functional(
    stretches: Sequence[Stretch], nodes: Sequence[int], shares: Real, grid: Real, poles: Real
) -> Real:
    """`functional` of whole bundles, (K, E, R): stretches with fields (…, U), turns weighted by `shares` (U,)."""
    radius, angle, weight = flux_cutting(stretches, nodes)
    weight = weight * shares[:, None]
    radius, angle, weight = (
        part.reshape(-1, part.shape[-2] * part.shape[-1]) for part in (radius, angle, weight)
    )
    return functional(radius, angle, weight, grid, poles)


def node_counts(stretches: Sequence[Stretch], grid: Real) -> list[int]:
    """Number of Gauss points for each stretch, (stretches,), that resolves what the radial grid resolves."""
    return [8 + int(0.8 * float(np.max(stretch.length)) / (grid[1] - grid[0])) for stretch in stretches]


def _lift(stretch: Stretch) -> Stretch:
    if isinstance(stretch, Arc):
        fields = (stretch.center, stretch.radius, stretch.start, stretch.sweep)
        return Arc(*(np.asarray(field)[..., None] for field in fields))
    return type(stretch)(np.asarray(stretch.start)[..., None], np.asarray(stretch.end)[..., None])
