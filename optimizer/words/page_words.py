"""What the page alone says: why it does not draw, show or hand over something, and what a search came to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimizer.brief.goal import GOALS
from optimizer.words.machine_words import spool_sentence
from optimizer.words.wording import many, quantity

if TYPE_CHECKING:
    from optimizer.search.result import Result

CROSSING_TURNS = "No voltage: the coil's own turns would cross."
MOTOR_HEADING = "A salvaged motor as measured, and what to make of it. Keys that end in _mm are millimetres."
NO_SEARCH = "this needs a search: press Search first, with the brief as it stands"
NO_MOTOR = "tick “a rewound motor beside it” first"
NO_RIG = "tick “turned by hand through a rig” first"


def too_many(noun: str, maximum: int, was: int) -> str:
    """Why the page does not draw a machine of so many magnets or turns."""
    verb = "draws" if noun == "magnets" else "takes"
    return f"the page {verb} at most {maximum} {noun}, was {was}; the command line takes more"


def narrow_gap(finest: int) -> str:
    """Why the page has no voltage of an air gap below 1/`finest` of the winding's outer radius."""
    return (
        f"No voltage here: the page takes an air gap of at least 1/{finest} of the winding's outer radius. "
        "The command line takes less."
    )


def search_sentence(result: Result) -> str:
    """How many layouts a search considered, what the best gives, and which spool it takes."""
    goal = GOALS[result.brief.goal]
    value = quantity(goal.value(result.best.figures), goal.unit)
    spool = spool_sentence(result.brief, result.best.figures)
    return f"{many(result.layouts_considered)} layouts were considered; the best gives {value}. {spool}".rstrip()
