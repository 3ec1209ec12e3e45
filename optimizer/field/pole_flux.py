"""The flux that half a magnet's pole face sends into the steel plate behind it, by images."""

from __future__ import annotations

from math import ceil

import numpy as np

from geometry.curves.curve import Complex, Real, polyline
from geometry.machine.arrangement import Stack, magnet_stack
from geometry.machine.layout import Carrier
from optimizer.field.pole_harmonics import magnet_field, odd_orders, pole_harmonics
from optimizer.numerics.quadrature import even_grid, gauss

NODES = 8  # Gauss points from a face's middle to its edge
COLUMN = 12.0  # pole-pair decay lengths (pitch radius over pole pairs) after which alternating poles have died away


def half_pole_flux(carrier: Carrier, clear: float) -> float:
    """Flux in Wb into a plate that carries it all; clear: distance between facing magnet faces, m.

    In the plate's face the magnet and its own image are one magnet of twice the thickness, seen in its middle: its
    polarization there less what its two pole faces make, each a thickness away. A pole face alone is the end of an
    endless column of magnets; with alternating poles a column of some pole pitches is endless.
    """
    magnet, far = carrier.magnet, COLUMN * carrier.pitch_radius / carrier.pole_pairs
    thickness, polarization = magnet.thickness, magnet.effective_polarization(backed=1.0)
    column = [-thickness * (0.5 + j) for j in range(ceil(far / thickness))]
    mirrored = magnet_stack(magnet, carrier.arrangement, images=1.0, clear=clear, reach=far / 2)
    # the other images, mirrored so that all lie below
    away = [abs(middle + thickness) for middle in mirrored.middles]
    others = [thickness - distance for distance in away if distance > thickness]
    faces = _mean_field(carrier, column)
    beyond = _mean_field(carrier, others) if others else 0.0
    return polarization * (1 - 2 * faces + beyond) * magnet.area / 2


def _mean_field(carrier: Carrier, middles: list[float]) -> float:
    """B_z one thickness above the faces, mean over a magnet's outline, of magnets of 1 T with these middles (m)."""
    magnet, height = carrier.magnet, carrier.magnet.thickness
    points, weights = _face_points(
        polyline(magnet.outline(carrier.pitch_radius), step=1e-3, sagitta=1e-5)
    )
    near, far = float(np.abs(points).min()), float(np.abs(points).max())
    radii = even_grid(near, far, min(height, far - near) / 8)
    column = Stack(middles=tuple(middles), polarizations=(1.0,) * len(middles))
    field = magnet_field(magnet, np.array([height]), carrier.pitch_radius + far, column)
    orders = odd_orders(carrier.count, far, height)
    harmonics = pole_harmonics(field, carrier.count, carrier.pitch_radius, radii, orders)[0][:, 0]
    waves = np.cos(np.outer(orders * carrier.pole_pairs, np.angle(points)))
    pairs: list[tuple[Real, Real]] = [*zip(harmonics, waves, strict=True)]
    values = sum(np.interp(np.abs(points), radii, row) * wave for row, wave in pairs)
    return float(np.sum(weights * values))


def _face_points(outline: Complex) -> tuple[Complex, Real]:
    """Points over a face and weights that make a mean, by triangles from its middle to its edge."""
    t, w = gauss(NODES)
    following, middle = np.roll(outline, -1), outline.mean()
    doubled = ((outline - middle).conj() * (following - outline)).imag
    points = middle + t[:, None] * ((outline + following) / 2 - middle)
    weights = np.outer(w * t, doubled)
    return points.ravel(), (weights / weights.sum()).ravel()
