"""The phase as a source: wire length, resistance, copper mass, best power."""

from __future__ import annotations

from geometry.machine.filaments import phase_turns
from geometry.machine.layout import Layout
from geometry.stock.wire import DENSITY


def wire_length(layout: Layout) -> float:
    """Length in m of all turns of all coils of a phase, without the ends led out."""
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
