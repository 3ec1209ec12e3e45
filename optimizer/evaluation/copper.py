"""The copper of a phase: its length, ohms and mass, and what the alternating field does inside the wire.

A round wire of diameter d across an alternating field of amplitude B loses π ω² B² d⁴/(128 ρ) per metre while it is
thin against the skin depth δ = √(2 ρ/(ω μ0)); its own current raises its resistance by (d/2δ)⁴/48. Source: the
low-frequency limit of the Bessel solution, as in Sullivan, IEEE Trans. Power Electronics 14(2) (1999) 283 (from
memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.filaments import phase_turns
from geometry.machine.layout import Layout
from geometry.machine.speed import rad_s_of
from geometry.stock.wire import CONDUCTIVITY, DENSITY
from optimizer.evaluation.inductance import MU0
from optimizer.field.emf import height_nodes, machine_field
from optimizer.field.pole_harmonics import odd_orders, pole_harmonics
from optimizer.numerics.quadrature import even_grid

SMALL = 0.01  # share of the power below which an effect is called small
TWO_DIRECTIONS = 2.0  # the field along the motion has the same harmonics as the field along the shaft


def wire_length(layout: Layout) -> float:
    """Length in m of all turns of all coils of a phase, strands counted once, without the ends led out."""
    offsets, _ = phase_turns(layout)
    around = float(layout.topology.turn_length(layout.envelope, offsets).sum())
    return layout.sides * around / layout.phases_per_level  # a turn length is that of every coil of a level together


def resistance(layout: Layout, length: float) -> float:
    """Nominal resistance at 20 °C of `length` m of the layout's wire, Ω."""
    return length * layout.winding.wire.resistance_per_metre


def copper_mass(layout: Layout, length: float) -> float:
    """Bare copper in kg."""
    return length * layout.winding.wire.copper_area * DENSITY


def matched_power(emf_rms: float, source_resistance: float) -> float:
    """Best power in W that a source gives, into a load equal to its own resistance."""
    return emf_rms**2 / (4 * source_resistance)


@dataclass(frozen=True, slots=True, kw_only=True)
class WireLosses:
    """skin_depth: m. resistance_rise: share added by the skin effect. eddy_watts: in the whole winding, W."""

    skin_depth: float
    resistance_rise: float
    eddy_watts: float


def skin_depth(frequency: float) -> float:
    """m, in copper at 20 °C, at `frequency` in Hz above zero."""
    return 1 / sqrt(pi * frequency * MU0 * CONDUCTIVITY)


def resistance_rise(diameter: float, frequency: float) -> float:
    """Share by which the skin effect raises the resistance of a round wire, thin against the skin depth (both in m)."""
    return (diameter / (2 * skin_depth(frequency))) ** 4 / 48


def eddy_watts_per_metre(diameter: float, omega_flux: float) -> float:
    """W/m in a round wire (m) across a field; `omega_flux`: √Σ (ω B)² of its harmonics' amplitudes, T/s."""
    return pi * omega_flux**2 * diameter**4 * CONDUCTIVITY / 128


def wire_losses(layout: Layout, speed_rpm: float) -> WireLosses:
    """The losses, W, at `speed_rpm` (above zero)."""
    frequency = layout.carrier.pole_pairs * speed_rpm / 60
    return WireLosses(
        skin_depth=skin_depth(frequency),
        resistance_rise=resistance_rise(layout.winding.wire.diameter, frequency),
        eddy_watts=eddy_coefficient(layout) * rad_s_of(speed_rpm) ** 2,
    )


def eddy_coefficient(layout: Layout) -> float:
    """Eddy loss over speed squared, W per (rad/s)²: an upper estimate, all wire across the field.

    The torque that it takes of the shaft is this times the speed.
    """
    per_speed = sqrt(TWO_DIRECTIONS * float(np.mean(_flux_rates(layout))))
    wire = layout.winding.wire
    return eddy_watts_per_metre(wire.diameter, per_speed) * wire.strands * layout.phases * wire_length(layout)


def _flux_rates(layout: Layout) -> Real:
    """Σ (k p B_k)² over the bundle's heights and radii, T², (Z, R)."""
    winding, carrier = layout.winding, layout.carrier
    heights = height_nodes(layout.air_gap, layout.stack_height)
    reach = carrier.pitch_radius + winding.outer_radius
    profile = machine_field(layout, heights, reach)
    orders = odd_orders(carrier.count, winding.outer_radius, layout.air_gap)
    radii = even_grid(winding.inner_radius, winding.outer_radius, profile.scale / 2)
    field = pole_harmonics(profile, carrier.count, carrier.pitch_radius, radii, orders)
    return np.asarray(np.sum((orders[:, None, None] * carrier.pole_pairs * field) ** 2, axis=0))
