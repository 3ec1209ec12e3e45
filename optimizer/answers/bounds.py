"""What the page takes on, so that every look is quick. The command line has no such bounds."""

from __future__ import annotations

from geometry.fit.rules import SLACK
from geometry.machine.layout import Layout

MOST_MAGNETS, MOST_TURNS = 100, 20_000
FINEST = 300  # largest of the winding's outer radius over the air gap
BETWEEN_COILS = frozenset({"neighbour"})  # rules of a coil shape that leave each coil whole


def too_much_to_draw(layout: Layout) -> str:
    """Why the page does not draw a layout, or nothing."""
    count, turns = layout.carrier.count, layout.winding.turns
    if count > MOST_MAGNETS:
        return f"the page draws at most {MOST_MAGNETS} magnets, was {count}; the command line takes more"
    if turns > MOST_TURNS:
        return f"the page takes at most {MOST_TURNS} turns, was {turns}; the command line takes more"
    return ""


def no_voltage(layout: Layout) -> str:
    """Why a layout has no voltage that the page could show, or nothing."""
    clearances = layout.topology.clearance(layout.envelope)
    if any(float(clearance) < -SLACK for name, clearance in clearances.items() if name not in BETWEEN_COILS):
        return "No voltage: the coil's own turns would cross."
    if layout.winding.outer_radius > FINEST * layout.air_gap:
        return (
            f"No voltage here: the page takes an air gap of at least 1/{FINEST} of the winding's outer radius. "
            "The command line takes less."
        )
    return ""
