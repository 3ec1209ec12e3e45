"""Nodes, weights and interpolation: Gauss–Legendre, Chebyshev and local Lagrange."""

from __future__ import annotations

from functools import cache

import numpy as np

from geometry.curves.curve import Real, Whole

POINTS = 6  # of the local Lagrange interpolation on an even grid


@cache
def gauss(count: int) -> tuple[Real, Real]:
    """Gauss–Legendre nodes and weights on [0, 1], (count,) each: arrays without a unit."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    return (nodes + 1) / 2, weights / 2


@cache
def chebyshev(count: int) -> Real:
    """Chebyshev nodes on [−1, 1], without unit: the roots of T_count, ascending, (count,)."""
    return -np.cos(np.pi * (np.arange(count) + 0.5) / count)


def chebyshev_basis(count: int, x: Real) -> Real:
    """Lagrange basis, without unit, on the Chebyshev nodes at `x` (any shape, within [−1, 1]): x.shape + (count,)."""
    degree = np.arange(count)
    return np.cos(degree * np.arccos(np.clip(x, -1, 1))[..., None]) @ _cosine_weights(count)


@cache
def _cosine_weights(count: int) -> Real:
    degree = np.arange(count)
    at_nodes = np.cos(np.outer(degree, np.arccos(chebyshev(count))))
    return np.where(degree == 0, 1.0, 2.0)[:, None] / count * at_nodes


def even_grid(low: float, high: float, step: float) -> Real:
    """Evenly spaced points (M,) in any unit, `low` to `high`, no further apart than `step`, enough to interpolate."""
    return np.linspace(low, high, max(int(np.ceil((high - low) / step)) + 1, POINTS))


def lagrange_stencil(grid: Real, x: Real) -> tuple[Whole, Real]:
    """First grid index, in the shape of `x`, and the `POINTS` weights (POINTS, …) that interpolate at `x`."""
    position = (x - grid[0]) / (grid[1] - grid[0])
    first = np.clip(np.floor(position).astype(np.intp) - (POINTS // 2 - 1), 0, grid.size - POINTS)
    t = position - first - (POINTS - 1) / 2
    powers = np.empty((POINTS, *t.shape))
    powers[0] = 1.0
    for degree in range(1, POINTS):
        np.multiply(powers[degree - 1], t, out=powers[degree])
    return first, (_lagrange() @ powers.reshape(POINTS, -1)).reshape(powers.shape)


@cache
def _lagrange() -> Real:
    """Lagrange's polynomials on `POINTS` whole numbers about their middle: coefficients (points, degrees)."""
    nodes = np.arange(POINTS) - (POINTS - 1) / 2
    rows: list[Real] = []
    for at in nodes:
        polynomial = np.polynomial.Polynomial.fromroots(nodes[nodes != at])
        rows.append(polynomial.coef / polynomial(at))
    return np.array(rows)


def even_weights(grid: Real) -> Real:
    """Weights (grid.size,), in its unit, that integrate over an even grid what `lagrange_stencil` interpolates."""
    nodes, shares = gauss(POINTS // 2)  # exact for the interpolation's degree
    step = grid[1] - grid[0]
    first, weights = lagrange_stencil(grid, (grid[:-1, None] + step * nodes).ravel())
    parts = weights * np.tile(step * shares, grid.size - 1)
    integral = np.zeros(grid.size)
    np.add.at(integral, first + np.arange(POINTS)[:, None], parts)
    return integral
