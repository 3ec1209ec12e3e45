"""How hard two facing carriers pull at each other along the shaft.

Halfway between unlike poles that face each other the field is along the shaft, so Maxwell's stress gives the whole
pull: F = ∫ B_z²/(2 μ0) dA over that plane, steel plates or not. With the pole harmonics b_k(r) that is
π/(2 μ0) Σ_k ∫ b_k² r dr. Checked in the tests against magpylib's force, the energy's slope and the dipoles' limit.
"""

from __future__ import annotations

from math import pi

import numpy as np

from geometry.machine.layout import Layout
from optimizer.field.emf import machine_field
from optimizer.field.pole_harmonics import odd_orders, pole_harmonics
from optimizer.numerics.quadrature import even_grid

MU0 = 4e-7 * pi  # H/m
SIDEWAYS = 3.0  # how far the plane reaches beyond the magnets, in pole pitches: there the field has died away


def attraction(layout: Layout) -> float | None:
    """Pull between facing carriers in N, of all magnets together; None where no carriers face each other."""
    carrier = layout.carrier
    if carrier.arrangement != "facing":
        return None
    middle = layout.clear / 2
    nearest, farthest = (float(edge) for edge in carrier.magnet.reach(carrier.pitch_radius))
    beyond = SIDEWAYS * max(pi * carrier.pitch_radius / carrier.pole_pairs / 2, 2 * middle)
    radii = even_grid(max(nearest - beyond, 0.01 * nearest, 1e-4), farthest + beyond, middle / 2.5)
    reach = carrier.pitch_radius + float(radii[-1])
    field = machine_field(layout, np.array([middle]), reach)
    orders = odd_orders(carrier.count, float(radii[-1]), middle)
    harmonics = pole_harmonics(field, carrier.count, carrier.pitch_radius, radii, orders)[:, 0]
    return float(pi / (2 * MU0) * np.trapezoid((harmonics**2).sum(axis=0) * radii, radii))
