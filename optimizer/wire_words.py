"""The wire that a winding takes beyond its turns, in words."""

from __future__ import annotations

from geometry.layout import Layout
from optimizer.winding_card import phase_ends
from optimizer.wording import quantity


def ends_words(layout: Layout) -> str:
    """What the ends of the phases and what joins their coils take, to follow the length of the turns."""
    return f"{quantity(phase_ends(layout) * layout.phases, 'm', 2)} more for the ends and what joins the coils"


def shortage_words(layout: Layout, turns_length: float, at_hand: float | None) -> str | None:
    """What the wire at hand (m; None: no limit) lacks for turns (m) and ends together; None when it lacks nothing."""
    if at_hand is None:
        return None
    short = turns_length + phase_ends(layout) * layout.phases - at_hand
    if short <= 0:
        return None
    return f"so {quantity(short, 'm', 2)} beyond the {quantity(at_hand, 'm')} at hand, or a turn or more fewer"
