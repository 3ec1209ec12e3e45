"""The linear circuit that a conducting bridge makes: its own exponentials, and its answer to harmonics."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np

from geometry.curves.curve import Complex, Real
from optimizer.numerics.quadrature import gauss

LEAST_TIME = 1e-6  # rad; X/R is never taken for less
GRID, FINEST = 400, 6000  # points over half a period between which events are sought
PANEL = 12  # Gauss points of a panel
ALIKE = 1e-5  # relative; rates nearer to each other are parted


@dataclass(frozen=True, slots=True)
class Modes:
    """How the conducting circuit moves: rates (n,), vectors and inverse (n, n), steady part, harmonics (K, n)."""

    rates: Complex
    vectors: Complex
    inverse: Complex
    steady: Real
    orders: Real
    phasors: Complex

    def response(self, angle: float | Real) -> Real:
        """Forced motion (…, n) by the harmonics, for the positive sense."""
        return (np.exp(1j * np.multiply.outer(angle, self.orders)) @ self.phasors).imag


def modes_of(matrix: Real, drive: Real, threshold: float, harmonics: tuple[Real, Real | Complex]) -> Modes:
    """Modes of y' = matrix y + drive (e − barrier); matrix (n, n), drive (n,), orders and amplitudes (K,) of e.

    The amplitudes may be complex: e = Im Σ amplitude exp(i order x).
    """
    orders, amplitudes = harmonics
    rates, vectors = _eigen(matrix)
    if rates.size == 2 and abs(rates[0] - rates[1]) < ALIKE * abs(rates[0]):
        matrix = matrix * np.array([[1, 1], [1, 1 + 1e-4]])
        rates, vectors = _eigen(matrix)
    systems = 1j * orders[:, None, None] * np.eye(drive.size) - matrix
    forced = np.linalg.solve(systems, np.broadcast_to(drive[:, None], (orders.size, drive.size, 1)))[..., 0]
    return Modes(
        rates,
        vectors,
        np.asarray(np.linalg.inv(vectors), np.complex128),
        np.asarray(np.linalg.solve(matrix, drive * threshold), np.float64),
        orders,
        np.asarray(forced * amplitudes[:, None], np.complex128),
    )


def bridge_matrix(resistance: float, reactance: float, susceptance: float, conductance: float) -> Real:
    """Of the states j and, with a capacitor (susceptance above zero), v."""
    reactance = max(reactance, LEAST_TIME * resistance)
    if susceptance == 0:
        return np.array([[-resistance / reactance]])
    top = [-resistance / reactance, -1 / reactance]
    return np.array([top, [1 / susceptance, -conductance / susceptance]])


def _eigen(matrix: Real) -> tuple[Complex, Complex]:
    rates, vectors = np.linalg.eig(matrix)
    return np.asarray(rates, np.complex128), np.asarray(vectors, np.complex128)


def grid_points(orders: Real, ringing: float) -> int:
    """Steps over half a period that do not miss an event, for harmonics (K,) and a circuit that rings, per rad."""
    return int(min(max(GRID, 14 * orders.max(), 40 * ringing), FINEST))


def finest(orders: Real, rates: Complex) -> float:
    """The quickest swing, per rad, that a quadrature must follow: of the harmonics (K,) or of the circuit (n,)."""
    return max(float(orders.max()), min(float(np.abs(rates.imag).max()), 2000.0))


def panels(start: float, end: float, quick: float, swing: float) -> tuple[Real, Real]:
    """Gauss nodes and weights from `start` to `end` (rad): short panels where exponentials are `quick` (per rad).

    swing: what is followed everywhere; see `finest`.
    """
    span = end - start
    edges = set(np.linspace(0, span, ceil(span * swing / 6) + 2).tolist())
    edges |= {4.0**k / quick for k in range(12) if 4.0**k / quick < span}
    cuts = start + np.array(sorted(edges))
    t, w = gauss(PANEL)
    widths = np.diff(cuts)
    return (cuts[:-1, None] + widths[:, None] * t).ravel(), (widths[:, None] * w).ravel()
