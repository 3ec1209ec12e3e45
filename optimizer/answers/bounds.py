"""What the page takes on, so that every look is quick. The command line has no such bounds."""

from __future__ import annotations

from geometry.fit.rules import SLACK
from geometry.machine.layout import Layout
from optimizer.words.page_words import CROSSING_TURNS, narrow_gap, too_many

MOST_MAGNETS, MOST_TURNS = 100, 20_000
FINEST = 300  # largest of the winding's outer radius over the air gap
BETWEEN_COILS = frozenset({"neighbour"})  # rules of a coil shape that leave each coil whole


def too_much_to_draw(layout: Layout) -> str:
    """Why the page does not draw a layout, or nothing."""
    count, turns = layout.carrier.count, layout.winding.turns
    if count > MOST_MAGNETS:
        return too_many("magnets", MOST_MAGNETS, count)
    if turns > MOST_TURNS:
        return too_many("turns", MOST_TURNS, turns)
    return ""


def no_voltage(layout: Layout) -> str:
    """Why a layout has no voltage that the page could show, or nothing."""
    clearances = layout.topology.clearance(layout.envelope)
    if any(float(clearance) < -SLACK for name, clearance in clearances.items() if name not in BETWEEN_COILS):
        return CROSSING_TURNS
    if layout.winding.outer_radius > FINEST * layout.air_gap:
        return narrow_gap(FINEST)
    return ""
