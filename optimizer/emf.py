"""The EMF of one layout: pole harmonics of the field, linked by every turn of the bundle."""

from __future__ import annotations

from dataclasses import dataclass
from math import log, sqrt

import numpy as np

from geometry.curve import Real
from geometry.layout import Layout
from geometry.section import turn_positions
from optimizer.field import Profile, disc_profile, odd_orders, pole_harmonics
from optimizer.linkage import half_turn_functional
from optimizer.quadrature import chebyshev, chebyshev_basis, even_grid

OFFSETS = 8  # Chebyshev nodes across the bundle
SAMPLES = 1440  # of the waveform over one electrical period


@dataclass(frozen=True, slots=True)
class Waveform:
    """Open-circuit EMF of a phase, e(θ) = Σ amplitudes[i] sin(orders[i] p θ), volts, over odd `orders` (K,)."""

    orders: Real
    amplitudes: Real

    @property
    def rms(self) -> float:
        """V."""
        return float(sqrt(0.5 * np.sum(self.amplitudes**2)))

    def at(self, electrical_angle: Real) -> Real:
        """Volts at electrical angles p θ in rad."""
        return np.sin(np.multiply.outer(electrical_angle, self.orders)) @ self.amplitudes

    @property
    def peak(self) -> float:
        """V."""
        return float(np.abs(self.at(np.linspace(0, np.pi, SAMPLES // 2 + 1))).max())

    @property
    def distortion(self) -> float:
        """Harmonics' RMS over the fundamental's."""
        return float(np.linalg.norm(self.amplitudes[1:]) / abs(self.amplitudes[0]))


def height_nodes(air_gap: float, height: float) -> Real:
    """Heights in m at which the field is taken: Chebyshev nodes over the bundle, as many as the gap calls for.

    The field is singular at the magnet faces only, so the interpolation error falls as ρ^−n with the Bernstein
    radius ρ of that point.
    """
    away = 1 + 2 * air_gap / height
    bernstein = away + sqrt(away**2 - 1)
    count = int(np.clip(np.ceil(log(1e4) / log(bernstein)), 4, 14))
    return air_gap + height * (chebyshev(count) + 1) / 2


def waveform(layout: Layout) -> Waveform:
    """The phase's open-circuit EMF from all turns, spread over the bundle's section."""
    winding, carrier = layout.winding, layout.carrier
    heights = height_nodes(layout.air_gap, winding.height)
    profile = disc_profile(carrier.magnet, heights, carrier.pitch_radius + winding.outer_radius)
    orders = odd_orders(carrier.count, winding.outer_radius, layout.air_gap)
    return Waveform(orders, _amplitudes(layout, profile, orders))


def _amplitudes(layout: Layout, profile: Profile, orders: Real) -> Real:
    winding, carrier, topology = layout.winding, layout.carrier, layout.topology
    grid = even_grid(winding.inner_radius, winding.outer_radius, profile.scale / 2.5)
    harmonics = pole_harmonics(profile, carrier.count, carrier.pitch_radius, grid, orders)[0]
    offsets = chebyshev(OFFSETS) * winding.width / 2
    rows = half_turn_functional(topology, layout.envelope, offsets, grid, orders * carrier.pole_pairs)
    linked = np.einsum("kur,kzr->kuz", rows, harmonics, optimize=True)
    speed = layout.speed_rpm * 2 * np.pi / 60
    return (
        speed
        * topology.half_turns(carrier.count)
        * np.einsum("kuz,uz->k", linked, _turns_at_nodes(layout, profile))
    )


def _turns_at_nodes(layout: Layout, profile: Profile) -> Real:
    winding = layout.winding
    offsets, levels = turn_positions(winding.turns, winding.width, winding.height)
    across = chebyshev_basis(OFFSETS, 2 * offsets / winding.width)
    along = chebyshev_basis(profile.heights.size, 2 * levels / winding.height - 1)
    return across.T @ along
