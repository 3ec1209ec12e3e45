"""The phase as a source: wire length, resistance, copper mass, best power."""

from __future__ import annotations

from geometry.layout import Layout
from geometry.section import turn_positions
from geometry.wire import DENSITY


def wire_length(layout: Layout) -> float:
    """Length in m of all turns of all coils of a phase, without the ends led out."""
    winding = layout.winding
    offsets, _ = turn_positions(winding.turns, winding.width, winding.height)
    return float(layout.topology.turn_length(layout.envelope, offsets).sum())


def resistance(layout: Layout, length: float) -> float:
    """Nominal resistance at 20 °C of `length` m of the layout's wire, Ω."""
    return length * layout.winding.wire.resistance_per_metre


def copper_mass(layout: Layout, length: float) -> float:
    """Bare copper in kg."""
    return length * layout.winding.wire.copper_area * DENSITY


def matched_power(emf_rms: float, source_resistance: float) -> float:
    """Best power in W that a source gives, into a load equal to its own resistance."""
    return emf_rms**2 / (4 * source_resistance)
