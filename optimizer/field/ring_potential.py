"""The potential of circles of charge about the shaft, order by order: what every magnet's field is made of.

A circle of charge of radius ρ in a plane at distance z has, at radius r, the potential

    1/d = Σ ε_n Q_{n−1/2}(χ) cos(nφ) / (π √(r ρ)),   χ = (r² + ρ² + z²)/(2 r ρ),

with Legendre functions of the second kind (Cohl, Tohline, Astrophys. J. 527 (1999) 86, eq. 15; the integral below is
the Handbook of Mathematical Functions, 8.8.2). They depend on χ alone, so one table over log(arcosh χ) serves all
radii and distances.

A magnet's face covers of the circle of radius ρ the polar angles from θ₁(ρ) to θ₂(ρ) on both sides of its radial line.
Its order n is then ∫ 2 (sin nθ₂ − sin nθ₁)/n … dρ, a row of weights on the radii, just as a turn of a coil is in
`linkage`.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Self

import numpy as np

from geometry.curves.curve import Real, Whole
from geometry.stock.magnet import Magnet
from optimizer.field.linkage import functional
from optimizer.numerics.quadrature import gauss

NODES, MAX_NODES = 14, 160  # Gauss points between two kinks of a face
STEP = 6e-3  # of the table in log(arcosh χ), linear between: the error is below 3e-6 of the peak
STRIDE, FARTHEST = 0.25, 16.0  # of the trapezoidal rule, which converges exponentially here


def face_rows(magnet: Magnet, pitch_radii: Real, radii: Real, orders: Real) -> Real:
    """Weights (K, P, R) of the orders (K,) of one face at pitch radii (P,), m, on an even grid of radii (R,), m."""
    kinks = np.array([magnet.kinks(float(pitch)) for pitch in pitch_radii])
    reach, step = float(np.max(kinks[:, -1] - kinks[:, 0])), float(radii[1] - radii[0])
    count = NODES + int(2 * reach / step + float(orders[-1]) * reach / float(kinks.min()))
    t, w = gauss(min(count, MAX_NODES))
    quadratures = [_quadrature(magnet, float(pitch), t, w) for pitch in pitch_radii]
    radius, start, stop, weight = (np.stack(part) for part in zip(*quadratures, strict=True))
    rows = functional(radius, stop, weight, radii, orders)
    if start.any():
        rows -= functional(radius, start, weight, radii, orders)
    return rows * (2 / orders)[:, None, None]


def _quadrature(magnet: Magnet, pitch_radius: float, t: Real, w: Real) -> tuple[Real, ...]:
    """Radii, angles from and to, and weights (Q,): in the cosine between kinks, where faces end like square roots."""
    radius, weight = list[Real](), list[Real]()
    for low, high in pairwise(magnet.kinks(pitch_radius)):
        radius.append((low + high) / 2 - (high - low) / 2 * np.cos(np.pi * t))
        weight.append(w * np.pi * (high - low) / 2 * np.sin(np.pi * t))
    joined = np.concatenate(radius)
    return (joined, *magnet.covers(pitch_radius, joined), np.concatenate(weight))


@dataclass(frozen=True, slots=True)
class RingPotential:
    """Circles of charge on `radii` (R,), m, seen from the same radii at `distances` (Z,) along the shaft, m.

    pairs: the R(R + 1)/2 pairs of radii; below, share: where in the table each pair and distance lies. logarithms:
    (table, t) of what the integrand is a power of. scale: √(ρ/r)/(2π²) for all pairs, (R, R).
    """

    radii: Real
    distances: Real
    pairs: tuple[Whole, Whole]
    below: Whole
    share: Real
    logarithms: Real
    scale: Real

    @classmethod
    def of(cls, radii: Real, distances: Real) -> Self:
        """Of radii (R,) and distances (Z,) above zero, m."""
        pairs = np.triu_indices(radii.size)
        one, other = radii[pairs[0]], radii[pairs[1]]
        excess = ((one - other)[:, None] ** 2 + distances**2) / (2 * one * other)[:, None]
        position = np.log(np.arccosh(1 + excess)) / STEP
        first = np.floor(position.min())
        below = np.floor(position - first).astype(np.intp)
        stretched = np.exp((first + np.arange(int(below.max()) + 2)) * STEP)[:, None]
        t = np.arange(0.0, FARTHEST, STRIDE)
        logarithms = np.log(np.cosh(stretched) + np.sinh(stretched) * np.cosh(t))
        scale = np.sqrt(radii / radii[:, None]) / (2 * np.pi**2)
        return cls(radii, distances, pairs, below, position - first - below, logarithms, scale)

    def differences(self, order: int, weights: Real) -> Real:
        """Potentials of an order n ≥ 1 put together by `weights` (Z, H) over the distances, (H, R, R), per radian·m.

        The first radius is that of the point, the second that of the circle.
        """
        powers = np.exp(-(order + 0.5) * self.logarithms)
        table = STRIDE * (powers.sum(axis=1) - powers[:, 0] / 2)
        slope = np.append(np.diff(table), 0.0)
        values = table[self.below] + self.share * slope[self.below]
        potentials = np.empty((weights.shape[1], self.radii.size, self.radii.size))
        potentials[:, *self.pairs] = potentials[:, *self.pairs[::-1]] = (values @ weights).T
        return potentials * self.scale
