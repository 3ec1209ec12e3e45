"""How much a converter may draw, in sentences and as data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from optimizer.loads.load_curves import Draw
from optimizer.words.wording import number, quantity

CLOSE = 0.95  # of the best draw; what is less is told that it could be more


def draw_words(draw: Draw) -> Iterator[str]:
    """The draw that charges fastest, the cliff above it, and the speed to reach before plugging in."""
    best, load = quantity(draw.watts, "W"), draw.load
    hand = f", for {quantity(draw.hand, 'W')} of the hand" if draw.hand else ""
    if draw.cliff is None:
        yield f"More draw never brings less here: at most {best} come at the converter's output{hand}."
        return
    yield f"It charges fastest with a draw of {best} at the converter's output{hand}."
    yield (
        f"Above it is a cliff: from {quantity(draw.cliff, 'W')} on the input sinks to "
        f"{quantity(load.least_input, 'V')} and {quantity(draw.beyond, 'W')} are all that comes."
    )
    yield f"Reach {number(draw.plug_rpm)} rpm before you plug it in: below that the input sinks, and may stay down."
    maximum = f"It is set to draw {quantity(load.most_watts, 'W')}"
    if load.most_watts > draw.watts:
        yield f"{maximum}: too much. Set it to {best} or less."
    elif draw.set_rpm is not None and load.most_watts < CLOSE * draw.watts:
        yield f"{maximum}, which is held from {number(draw.set_rpm)} rpm on; it may draw more."


def draw_values(draw: Draw | None) -> dict[str, Any]:
    """For JSON; all null of another load, or where nothing comes."""
    return {
        "best_draw_W": draw and draw.watts,
        "draw_cliff_W": draw and draw.cliff,
        "beyond_cliff_W": draw and draw.beyond,
        "plug_in_rpm": draw and draw.plug_rpm,
        "set_draw_from_rpm": draw and draw.set_rpm,
    }
