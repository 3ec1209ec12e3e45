"""Mean square EMF of one turn as a smooth function of the dimensions: what the continuous search climbs."""

from __future__ import annotations

import numpy as np

from geometry.coils.envelope import Envelope
from geometry.curves.curve import Real
from geometry.machine.speed import rad_s_of
from optimizer.brief.brief import Brief
from optimizer.field.linkage import bundle_functional, node_counts
from optimizer.field.pole_harmonics import MagnetField, odd_orders, pole_harmonics
from optimizer.numerics.quadrature import even_grid, gauss
from optimizer.scan.choices import Family
from optimizer.scan.field_tables import brief_profiles, mean_over_height, parts_of, strong
from optimizer.scan.plate_shares import PlateShares

OFFSETS = 4  # Gauss nodes across the bundle
DEPTH = 6.0  # orders whose field has died away by e^−DEPTH are never looked at
KEPT = 16  # fields kept at a time
ENERGY = 1e-6  # share of the mean square field that the orders left out may hold


class TurnEmf:
    """EMF of one turn of every coil of a family, spread evenly over the bundle's section, at the brief's speed.

    Dimensions come as rows (E, 5) in m: pitch radius, inner and outer radius, width, height. Harmonics are kept per
    pitch radius: a step in any other dimension needs no new field.
    """

    def __init__(self, brief: Brief, family: Family) -> None:
        self.brief, self.family = brief, family
        low, high = brief.space.bore_radius, brief.space.outer_radius
        self._plates = PlateShares.of(brief, family.magnet, family.count) if brief.plate else None
        self._profiles: dict[float, tuple[MagnetField, ...]] = {}
        profile = self._fields(brief.coil_height)[0]
        self._radii = even_grid(low * 0.9, high * 1.05, profile.scale / 2)
        self._orders = odd_orders(family.count, high, brief.air_gap, DEPTH)
        whole = pole_harmonics(profile, family.count, (low + high) / 2, self._radii, self._orders)[0]
        self._orders = self._orders[strong(np.abs(whole[:, 0]).max(axis=1), ENERGY)]
        self._shares = family.distribution(self._orders)
        speed = rad_s_of(brief.speed_rpm)
        self._scale = (speed * family.half_turns) ** 2 / 2
        self._kept: dict[tuple[float, float], Real] = {}

    def envelope(self, inner: Real, outer: Real, width: Real) -> Envelope:
        """What the family's coils are laid out in."""
        return Envelope(
            inner_radius=inner, outer_radius=outer, width=width, sectors=self.family.sectors,
            peg_radius=self.brief.peg_radius,
        )  # fmt: skip

    def mean_squares(self, rows: Real) -> Real:
        """V² per turn² of one phase, (E,)."""
        functionals = self._functionals(rows) * self._shares[:, None, None]
        squares = np.empty(len(rows))
        for i, row in enumerate(rows):
            means = self._mean_harmonics(float(row[0]), float(row[4]) * self.family.stacked)
            squares[i] = np.sum(np.einsum("kr,kr->k", functionals[:, i], means) ** 2)
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

    def _mean_harmonics(self, pitch_radius: float, height: float) -> Real:
        """Pole harmonics (K, R), mean over what a phase takes up of all bundles' `height` (m)."""
        full = height if self.brief.arrangement == "facing" else self.brief.coil_height
        harmonics, parts = self._harmonics(pitch_radius, full), parts_of(self.family.stacked)
        return harmonics @ mean_over_height(height, full, harmonics.shape[-1], parts)

    def _fields(self, full: float) -> tuple[MagnetField, ...]:
        if full not in self._profiles:
            if len(self._profiles) > KEPT:
                self._profiles.clear()
            self._profiles[full] = brief_profiles(self.brief, self.family.magnet, full)
        return self._profiles[full]

    def _profile(self, pitch_radius: float, full: float) -> MagnetField:
        """The field as the plates leave it at a pitch radius (m)."""
        alone, *whole = self._fields(full)
        if self._plates is None:
            return alone
        return alone.toward(whole[0], float(self._plates(pitch_radius, full)[0, 0]))

    def _harmonics(self, pitch_radius: float, full: float) -> Real:
        """(K, R, Z) over a winding `full` high; facing carriers stand as far apart as the winding needs."""
        key = pitch_radius, full
        if key not in self._kept:
            if len(self._kept) > KEPT:
                self._kept.clear()
            profile = self._profile(pitch_radius, full)
            found = pole_harmonics(profile, self.family.count, pitch_radius, self._radii, self._orders)[0]
            self._kept[key] = np.ascontiguousarray(found.transpose(0, 2, 1))
        return self._kept[key]
