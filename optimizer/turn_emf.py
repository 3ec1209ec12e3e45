"""Mean square EMF of one turn as a smooth function of the five dimensions: what the continuous search climbs."""

from __future__ import annotations

import numpy as np

from geometry.curve import Real
from optimizer.brief import Brief
from optimizer.choices import Dimensions, Family, envelope_of
from optimizer.emf import height_nodes
from optimizer.field import Profile, disc_profile, odd_orders, pole_harmonics
from optimizer.linkage import half_turn_functional
from optimizer.quadrature import even_grid, gauss
from optimizer.tables import mean_over_height

OFFSETS = 5  # Gauss nodes across the bundle
DEPTH = 6.0  # orders whose field has died away by e^−DEPTH are left out


class TurnEmf:
    """EMF of one turn of every coil of a family, spread evenly over the bundle's section, at the brief's speed.

    Harmonics are kept per pitch radius: a step in any other dimension needs no new field.
    """

    def __init__(self, brief: Brief, family: Family) -> None:
        self.brief, self.family = brief, family
        heights = height_nodes(brief.air_gap, brief.coil_height)
        self._profile: Profile = disc_profile(family.magnet, heights, 2 * brief.space.outer_radius)
        low, high = brief.space.bore_radius, brief.space.outer_radius
        self._radii = even_grid(low * 0.9, high * 1.05, self._profile.scale / 2)
        self._orders = odd_orders(family.count, high, brief.air_gap, DEPTH)
        speed = brief.speed_rpm * 2 * np.pi / 60
        self._scale = (speed * family.topology.half_turns(family.count)) ** 2 / 2
        self._kept: dict[float, Real] = {}

    def mean_square(self, dimensions: Dimensions) -> float:
        """V² per turn² at `dimensions`."""
        linked = np.einsum("kr,krz->kz", self._rows(dimensions), self._harmonics(dimensions.pitch_radius))
        nodes = self._profile.heights.size
        return self._scale * float(np.sum((linked @ mean_over_height(dimensions.height, self.brief.coil_height, nodes)) ** 2))

    def _rows(self, dimensions: Dimensions) -> Real:
        t, w = gauss(OFFSETS)
        envelope = envelope_of(self.brief, self.family, dimensions)
        poles = self._orders * (self.family.count // 2)
        offsets = (t - 0.5) * dimensions.width
        return np.einsum("u,kur->kr", w, half_turn_functional(self.family.topology, envelope, offsets, self._radii, poles))

    def _harmonics(self, pitch_radius: float) -> Real:
        if pitch_radius not in self._kept:
            if len(self._kept) > 16:
                self._kept.clear()
            found = pole_harmonics(self._profile, self.family.count, pitch_radius, self._radii, self._orders)[0]
            self._kept[pitch_radius] = np.ascontiguousarray(found.transpose(0, 2, 1))
        return self._kept[pitch_radius]
