"""The wire that a winding takes beyond its turns, in words."""

from __future__ import annotations

from geometry.machine.leads import SPARE
from optimizer.evaluation.figures import Figures
from optimizer.words.wording import percent, quantity


def beyond_words(figures: Figures) -> str:
    """What ends, joints and spare take, to follow the length of the turns."""
    joints = "ends and joints" if figures.coils > figures.phases else "the ends"
    return f"{quantity(figures.wire_ends_m, 'm')} for {joints}, {quantity(figures.wire_spare_m, 'm')} to spare"


def at_hand_words(at_hand: float) -> str:
    """What is kept of the wire at hand (m)."""
    kept = f"ends, joints and {percent(SPARE)} to spare are kept of it"
    return f"{quantity(at_hand, 'm')}, all phases together: {kept}"
