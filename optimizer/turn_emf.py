"""Mean square EMF of one turn as a smooth function of the dimensions: what the continuous search climbs."""

from __future__ import annotations

import numpy as np

from geometry.curve import Real
from geometry.envelope import Envelope
from optimizer.brief import Brief
from optimizer.choices import Family
from optimizer.emf import height_nodes
from optimizer.field import disc_profile, odd_orders, pole_harmonics
from optimizer.linkage import bundle_functional, node_counts
from optimizer.quadrature import even_grid, gauss
from optimizer.tables import mean_over_height, strong

OFFSETS = 4  # Gauss nodes across the bundle
DEPTH = 6.0  # orders whose field has died away by e^−DEPTH are never looked at
ENERGY = 1e-6  # share of the mean square field that the orders left out may hold


class TurnEmf:
    """EMF of one turn of every coil of a family, spread evenly over the bundle's section, at the brief's speed.

    Dimensions come as rows (E, 5) in m: pitch radius, inner and outer radius, width, height. Harmonics are kept per
    pitch radius: a step in any other dimension needs no new field.
    """

    def __init__(self, brief: Brief, family: Family) -> None:
        self.brief, self.family = brief, family
        low, high = brief.space.bore_radius, brief.space.outer_radius
        heights = height_nodes(brief.air_gap, brief.coil_height)
        self._profile = disc_profile(family.magnet, heights, 2.1 * high)
        self._radii = even_grid(low * 0.9, high * 1.05, self._profile.scale / 2)
        self._orders = odd_orders(family.count, high, brief.air_gap, DEPTH)
        whole = pole_harmonics(self._profile, family.count, (low + high) / 2, self._radii, self._orders)[0]
        self._orders = self._orders[strong(np.abs(whole[:, 0]).max(axis=1), ENERGY)]
        speed = brief.speed_rpm * 2 * np.pi / 60
        self._scale = (speed * family.topology.half_turns(family.count)) ** 2 / 2
        self._kept: dict[float, Real] = {}

    def envelope(self, inner: Real, outer: Real, width: Real) -> Envelope:
        """What the family's coils are laid out in."""
        return Envelope(
            inner_radius=inner, outer_radius=outer, width=width, sectors=self.family.count,
            peg_radius=self.brief.peg_radius,
        )  # fmt: skip

    def mean_squares(self, rows: Real) -> Real:
        """V² per turn², (E,)."""
        functionals = self._functionals(rows)
        nodes = self._profile.heights.size
        squares = np.empty(len(rows))
        for i, row in enumerate(rows):
            average = mean_over_height(float(row[4]), self.brief.coil_height, nodes)
            linked = (
                functionals[:, i, None, :] @ (self._harmonics(float(row[0])) @ average)[:, :, None]
            ).ravel()
            squares[i] = linked @ linked
        return self._scale * squares

    def _functionals(self, rows: Real) -> Real:
        """Rows of weights (K, E, R), mean over the bundle."""
        t, w = gauss(OFFSETS)
        different, back = np.unique(rows[:, 1:4], axis=0, return_inverse=True)
        inner, outer, width = different.T[:, :, None]
        stretches = self.family.topology.half_turn(self.envelope(inner, outer, width), (t - 0.5) * width)
        poles = self._orders * (self.family.count // 2)
        nodes = node_counts(stretches, self._radii)
        return bundle_functional(stretches, nodes, w, self._radii, poles)[:, back.ravel()]

    def _harmonics(self, pitch_radius: float) -> Real:
        """(K, R, Z)."""
        if pitch_radius not in self._kept:
            if len(self._kept) > 16:
                self._kept.clear()
            found = pole_harmonics(self._profile, self.family.count, pitch_radius, self._radii, self._orders)[
                0
            ]
            self._kept[pitch_radius] = np.ascontiguousarray(found.transpose(0, 2, 1))
        return self._kept[pitch_radius]
