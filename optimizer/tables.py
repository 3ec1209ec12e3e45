"""One magnet's field on the scan's grid: pole harmonics over radius, averaged over every bundle height."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from geometry.curve import Real, Whole
from geometry.magnet import DiscMagnet
from optimizer.brief import Brief
from optimizer.choices import Grid
from optimizer.emf import height_nodes
from optimizer.field import disc_profile, disc_samples, odd_orders, ring_harmonics
from optimizer.quadrature import chebyshev_basis, even_grid, gauss

DEPTH = 5.0  # orders whose field has died away by e^−DEPTH at the air gap are never looked at
ENERGY = 3e-4  # share of the mean square field that the orders left out of a scan may hold


@dataclass(frozen=True, slots=True)
class FieldTable:
    """Samples (P, R, Z, A) of one magnet's field over the grid's pitch radii, on `radii` (R,); height means (H, Z)."""

    radii: Real
    samples: Real
    averages: Real
    air_gap: float

    def mean_harmonics(self, count: int, at: Whole) -> tuple[Real, Real]:
        """Odd orders (K,) that matter, and pole harmonics averaged over each height (K, R, P, H).

        count: magnets; at: indices (P,) of the pitch radii.
        """
        orders = odd_orders(count, float(self.radii[-1]), self.air_gap, DEPTH)
        harmonics = np.tensordot(ring_harmonics(self.samples[at], count, orders), self.averages, axes=(2, 1))
        strength = np.sqrt(np.mean(harmonics**2, axis=2)).max(axis=(0, 2))
        kept = strong(strength, ENERGY)
        return orders[kept], np.ascontiguousarray(harmonics[:, kept].transpose(1, 2, 0, 3))


def field_table(brief: Brief, magnet: DiscMagnet, grid: Grid) -> FieldTable:
    """The table of one magnet for a brief."""
    space = brief.space
    nodes = height_nodes(brief.air_gap, brief.coil_height)
    profile = disc_profile(magnet, nodes, 2 * space.outer_radius)
    radii = even_grid(space.bore_radius, space.outer_radius, profile.scale / 2)
    highest = int(DEPTH * space.outer_radius / brief.air_gap)
    samples = disc_samples(profile, grid.pitch_radii, radii, highest)
    averages = np.stack([mean_over_height(height, brief.coil_height, nodes.size) for height in grid.heights])
    return FieldTable(radii, samples, averages, brief.air_gap)


def mean_over_height(height: float, full: float, nodes: int) -> Real:
    """Weights (nodes,) that average over the lowest `height` what is known at Chebyshev nodes over `full` (m)."""
    t, w = gauss(nodes)
    return w @ chebyshev_basis(nodes, 2 * t * height / full - 1)


def strong(size: Real, energy: float) -> Whole:
    """Indices, ascending, of all but the weakest of `size` (K,), which hold at most `energy` of its square sum."""
    weakest = np.argsort(size, kind="stable")
    held = np.cumsum(size[weakest] ** 2)
    return np.sort(weakest[held > energy * held[-1]])
