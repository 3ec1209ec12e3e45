"""A magnet's face as circles of charge about the shaft: the other half of what `ring_potential` is asked for.

A face covers of the circle of radius ρ the polar angles from θ₁(ρ) to θ₂(ρ) on both sides of its radial line. Its order
n is then ∫ 2 (sin nθ₂ − sin nθ₁)/n … dρ, a row of weights on the radii, just as a turn of a coil is in `linkage`.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from geometry.curves.curve import Real
from geometry.stock.magnet import Magnet
from optimizer.field.linkage import functional
from optimizer.numerics.quadrature import gauss

NODES, MAX_NODES = 14, 160  # Gauss points between two kinks of a face


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
