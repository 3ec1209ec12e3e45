"""The goal's value at each point of a sweep, as it is to be expected where steel plates are thin."""

from __future__ import annotations

from collections.abc import Callable

from optimizer.figures import Figures
from optimizer.goal import GOALS
from optimizer.steel_words import share
from optimizer.sweep import Sweep

EXPECTED = "expected, with the steel's derating"


def steel_leaves(figures: Figures) -> float:
    """What a plate too thin for the magnets' flux leaves of the EMF; 1 without plates and for one thick enough."""
    derating, needed = figures.plate_derating, figures.plate_needed_mm
    if derating is None or needed is None or figures.plate_mm >= needed or share(derating) == share(1):
        return 1.0
    return derating


def derated(sweep: Sweep) -> bool:
    """Whether steel takes off from any point."""
    return any(steel_leaves(point.entry.figures) < 1 for point in sweep.points if point.entry)


def value_of(sweep: Sweep) -> Callable[[Figures], float]:
    """The goal's value to be expected of a machine: volts go with what the steel leaves, watts with its square.

    To five digits, so that table and picture round it alike.
    """
    goal = GOALS[sweep.brief.goal]

    def expected(figures: Figures) -> float:
        left = steel_leaves(figures) ** (1 if goal.root else 2)
        return goal.value(figures) if left == 1 else float(f"{left * goal.value(figures):.5g}")

    return expected


def goal_label(sweep: Sweep) -> str:
    """What the values are, with their unit, for an axis."""
    goal = GOALS[sweep.brief.goal]
    said = f"{goal.label}, {goal.unit}"
    return f"{said}\n({EXPECTED})" if derated(sweep) else said
