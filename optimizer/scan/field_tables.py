"""One magnet's field on the scan's grid: pole harmonics over radius, averaged over every bundle height."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from geometry.curves.curve import Real, Whole
from geometry.machine.arrangement import magnet_stack
from geometry.stock.magnet import Magnet
from optimizer.brief.brief import Brief
from optimizer.field.emf import height_nodes
from optimizer.field.pole_harmonics import (
    MagnetField,
    angles_needed,
    magnet_field,
    magnet_samples,
    odd_orders,
    ring_harmonics,
)
from optimizer.numerics.quadrature import chebyshev_basis, even_grid, gauss
from optimizer.scan.choices import Grid
from optimizer.scan.plate_shares import PlateShares

DEPTH = 5.0  # orders whose field has died away by e^−DEPTH at the air gap are never looked at
ENERGY = 3e-4  # share of the mean square field that the orders left out of a scan may hold


@dataclass(frozen=True, slots=True)
class FieldTable:
    """One magnet's field over the grid's pitch radii, on `radii` (R,), averaged over each height: samples (P, R, H, A).

    split: the same averaged over the lowest and highest sixth of each height, where the first phase of an interleaved
    three-phase serpentine lies; None when the brief asks for none. With steel plates each of the two holds the field
    without them and, behind it, that of plates that carry all the flux, (2, P, R, H, A); without plates (1, …).
    """

    brief: Brief
    magnet: Magnet
    grid: Grid
    radii: Real
    samples: Real
    split: Real | None

    def mean_harmonics(self, count: int, at: Whole, stacked: int = 1) -> tuple[Real, Real]:
        """Odd orders (K,) that matter, and pole harmonics averaged over each height (K, R, P, H).

        count: magnets; at: indices (P,) of the pitch radii; stacked: bundles one above the other.
        """
        orders = odd_orders(count, float(self.radii[-1]), self.brief.air_gap, DEPTH)
        samples = self.samples if stacked == 1 else self.split
        assert samples is not None
        harmonics = ring_harmonics(self._as_plates_leave(samples[:, at], count, at), count, orders)
        strength = np.sqrt(np.mean(harmonics**2, axis=3)).max(axis=(0, 2))
        kept = strong(strength, ENERGY)
        return orders[kept], np.ascontiguousarray(harmonics[:, kept].transpose(1, 3, 0, 2))

    def _as_plates_leave(self, samples: Real, count: int, at: Whole) -> Real:
        if len(samples) == 1:
            return samples[0]
        share = PlateShares.of(self.brief, self.magnet, count)(self.grid.pitch_radii[at], self._full_heights())
        alone, whole = samples
        return alone + share[:, None, :, None] * (whole - alone)

    def _full_heights(self) -> Real:
        """Heights that the field is known over, for each of the grid's."""
        counted = [np.full(some.size, full) for full, some in _same_field(self.brief, self.grid.heights)]
        return np.concatenate(counted)


def field_table(brief: Brief, magnet: Magnet, grid: Grid) -> FieldTable:
    """The table of one magnet for a brief."""
    radii = even_grid(brief.space.bore_radius, brief.space.outer_radius, brief.air_gap / 2)
    means = [_height_means(brief, magnet, grid, radii, parts) for parts in _parts(brief)]
    return FieldTable(brief, magnet, grid, radii, means[0], means[1] if len(means) > 1 else None)


Parts = tuple[tuple[float, float], ...]
WHOLE: Parts = ((0.0, 1.0),)
INTERLEAVED: Parts = ((0.0, 1 / 6), (5 / 6, 1.0))


def _parts(brief: Brief) -> list[Parts]:
    stacked = 3 in brief.phases and "serpentine" in brief.topologies
    return [WHOLE, INTERLEAVED] if stacked else [WHOLE]


def parts_of(stacked: int) -> Parts:
    """The shares of the height that the first phase takes up, when so many bundles lie one above the other."""
    return WHOLE if stacked == 1 else INTERLEAVED


def _height_means(brief: Brief, magnet: Magnet, grid: Grid, radii: Real, parts: Parts) -> Real:
    outermost = float(radii[-1])
    steps = angles_needed(brief.air_gap, outermost, int(DEPTH * outermost / brief.air_gap))
    means: list[Real] = []
    for full, heights in _same_field(brief, grid.heights):
        profiles = brief_profiles(brief, magnet, full)
        weights = np.stack([mean_over_height(h, full, profiles[0].heights.size, parts) for h in heights])
        means.append(
            np.stack([magnet_samples(each, grid.pitch_radii, radii, steps, weights) for each in profiles])
        )
    return np.concatenate(means, axis=3)


def _same_field(brief: Brief, heights: Real) -> list[tuple[float, Real]]:
    """Heights that share a field, and the height it is known over: facing carriers stand as the coil needs."""
    if brief.arrangement == "facing":
        return [(float(height), heights[i : i + 1]) for i, height in enumerate(heights)]
    return [(brief.coil_height, heights)]


def brief_profiles(brief: Brief, magnet: Magnet, height: float) -> tuple[MagnetField, ...]:
    """The field profile of a brief's arrangement over a winding `height` (m) high.

    With steel plates, of the magnets alone and as of plates that carry all the flux.
    """
    reach = 2.1 * brief.space.outer_radius
    heights, clear = height_nodes(brief.air_gap, height), 2 * brief.air_gap + height
    stacks = (
        magnet_stack(magnet, brief.arrangement, images=images, clear=clear, reach=1.5 * reach)
        for images in ((0.0, 1.0) if brief.plate else (0.0,))
    )
    return tuple(magnet_field(magnet, heights, reach, stack) for stack in stacks)


def mean_over_height(height: float, full: float, nodes: int, parts: Parts = WHOLE) -> Real:
    """Weights (nodes,) that average over `parts` of the lowest `height` what Chebyshev nodes over `full` (m) know."""
    t, w = gauss(nodes)
    share = sum(high - low for low, high in parts)
    total = np.zeros(nodes)
    for low, high in parts:
        at = (low + (high - low) * t) * height / full
        total += (high - low) / share * (w @ chebyshev_basis(nodes, 2 * at - 1))
    return total


def strong(size: Real, energy: float) -> Whole:
    """Indices, ascending, of all but the weakest of `size` (K,), which hold at most `energy` of its square sum."""
    weakest = np.argsort(size, kind="stable")
    held = np.cumsum(size[weakest] ** 2)
    return np.sort(weakest[held > energy * held[-1]])
