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

from geometry.coils.bundle import Envelope
from geometry.coils.topology import Topology
from geometry.curves.curve import Arc, Real, Stretch
from optimizer.numerics.quadrature import POINTS, gauss, lagrange_stencil

AT_A_TIME = 4e5  # numbers in memory while points are spread over the radial grid


def flux_cutting(stretches: Sequence[Stretch], nodes: Sequence[int]) -> tuple[Real, Real, Real]:
    """Quadrature of ∫ r … dr along stretches whose fields have shape S: radius (m), angle (rad), weight (m²), S + (Q,).

    nodes: Gauss points for each stretch. Stretches about the shaft cut nothing and are left out.
    """
    radius: list[Real] = []
    angle: list[Real] = []
    weight: list[Real] = []
    for stretch, count in zip(stretches, nodes, strict=True):
        if isinstance(stretch, Arc) and stretch.about_shaft:
            continue
        t, w = gauss(count)
        points, tangents = stretch.walk(t)
        radius.append(np.abs(points))
        angle.append(np.angle(points))
        weight.append((points.real * tangents.real + points.imag * tangents.imag) * w)  # r dr
    shape = np.broadcast_shapes(*(part.shape[:-1] for part in radius))
    return _joined(radius, shape), _joined(angle, shape), _joined(weight, shape)


def _joined(parts: Sequence[Real], shape: tuple[int, ...]) -> Real:
    spread = [p if p.shape[:-1] == shape else np.broadcast_to(p, (*shape, p.shape[-1])) for p in parts]
    return np.concatenate(spread, axis=-1)


def functional(radius: Real, angle: Real, weight: Real, grid: Real, poles: Real) -> Real:
    """Rows of weights on the radial `grid` (R,), m, that turn b_k into ∫ r b_k sin(k p ψ) dr.

    radius (m), angle (rad), weight: (E, Q), one row per envelope; poles: (K,) the products k·p. Returns (K, E, R).
    """
    result = np.empty((poles.size, radius.shape[0], grid.size))
    step = max(int(AT_A_TIME / (radius.shape[1] * grid.size)), 1)
    for low in range(0, radius.shape[0], step):
        some = slice(low, low + step)
        first, stencil = lagrange_stencil(grid, radius[some])
        places = np.zeros((*first.shape, grid.size))
        row, point = np.arange(len(first))[:, None], np.arange(int(radius.shape[1]))
        for j in range(POINTS):
            places[row, point, first + j] = stencil[j]
        waves = _sines(angle[some], weight[some], poles).transpose(1, 0, 2)
        result[:, some] = (waves @ places).transpose(1, 0, 2)
    return result


def _sines(angle: Real, weight: Real, poles: Real) -> Real:
    """weight · sin(pole · angle), (K, …), for whole ascending poles (K,).

    One turn of the unit circle's points after another: several times as quick as so many sines.
    """
    waves = np.empty((poles.size, *angle.shape))
    apart = float(np.gcd.reduce(np.rint(np.diff(poles)).astype(int)) or poles[-1])
    turn, now = np.exp(1j * apart * angle), weight * np.exp(1j * poles[0] * angle)
    waves[0] = now.imag
    for row, steps in zip(waves[1:], np.rint(np.diff(poles) / apart), strict=True):
        for _ in range(int(steps)):
            now *= turn
        row[...] = now.imag
    return waves


def half_turn_functional(
    topology: Topology, envelope: Envelope, offsets: Real, grid: Real, poles: Real
) -> Real:
    """`functional` of the turns at `offsets` (U,), m, of one scalar envelope, shape (K, U, R)."""
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
