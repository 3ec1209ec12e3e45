"""The last step of the search: from a layout that can be set to one that no single move makes better.

Dimensions move by hundredths of a millimetre and more, one, two or all radii at a time, with as many turns as then fit,
and every move of `neighbours` is tried with its turns kept. The evenly filled section ranks the moves; the layout's own
turns, as `optimizer.evaluation.chain` has them, decide.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import combinations, product
from math import ceil

import numpy as np

from geometry.coils.bundle import layer_count
from geometry.curves.curve import Real
from geometry.fit.judge import overlaps
from geometry.machine.layout import Layout
from optimizer.scan.choices import layout_of
from optimizer.search.neighbours import STEPS_MM, TURN_STEPS, fits_brief
from optimizer.search.objective import TOLERANCE, Objective

STRIDES_MM = (0.01, 0.03, 0.1, 0.3)  # of dimensions that move together
EVEN, COARSE = 2e-3, 0.3  # how far an evenly filled section may be off, as a share, and that times the turns
ALIKE = 5e-5  # the same between sections whose turns lie in equal layers
PROMISING = 3  # moves with other turns that are looked at closely, at most
MOST = 300  # steps


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """A layout that can be built, the value of its own turns in the goal's unit, and what it was optimised by.

    row: its dimensions and turns as the objective has them, (6,).
    """

    objective: Objective
    layout: Layout
    row: Real
    value: float


def standing(objective: Objective, row: Real, above: float = 0.0) -> Standing | None:
    """The layout of a row (6,) of whole hundredths of a mm and whole turns; None when not built, or worth no more.

    Shapely, which takes longest, is asked last.
    """
    try:
        layout = layout_of(objective.brief, objective.candidate(row, above))
    except ValueError:  # no such winding
        return None
    value = objective.aim.worth(layout)
    if value <= above or not fits_brief(objective.brief, layout) or overlaps(layout):
        return None
    return Standing(objective, layout, row, value)


def polished(start: Standing, *, held: bool = False) -> Standing:
    """A layout that none of its fitting single moves makes better; held: whether the pitch radius is kept."""
    best = start
    for _ in range(MOST):
        better = _better(best, held=held)
        if better is None:
            return best
        best = better
    raise AssertionError(f"no end to better moves near {best.layout}")


def _better(best: Standing, *, held: bool) -> Standing | None:
    """A move that is better: of single ones any that might be, of others the most promising, the nearest last."""
    objective, (singles, together, nearest) = best.objective, _steps(held)
    kept = _sound(best.row + singles)
    return (
        _best_of(best, kept, _filled(objective, best.row + together))
        or _best_of(best, kept[:0], _filled(objective, best.row + nearest))
        or _with_another_wire(best)
    )


def _with_another_wire(best: Standing) -> Standing | None:
    objective = best.objective
    value = float(objective.values(best.row[None])[0])
    for wire in objective.brief.wires:
        other = objective.of_wire(wire)
        if wire != objective.wire and (other.clearances(best.row[None]) >= -TOLERANCE).all():
            change = float(other.values(best.row[None])[0]) / value - 1
            if change > -_doubt(objective, best.row, best.row):
                found = standing(other, best.row, best.value)
                if found is not None:
                    return found
    return None


def _best_of(best: Standing, single: Real, filled: Real) -> Standing | None:
    objective = best.objective
    rows = np.vstack((best.row, single, filled))
    fits = np.all(objective.clearances(rows) >= -TOLERANCE, axis=1)
    alone = np.count_nonzero(fits[1 : 1 + len(single)])
    rows = rows[1:][fits[1:]]
    values = objective.values(np.vstack((best.row, rows)))
    change = values[1:] / values[0] - 1
    ranked = np.argsort(-change, kind="stable").tolist()
    worth = [at for at in ranked if at < alone and change[at] > -_doubt(objective, best.row, rows[at])]
    worth += [at for at in ranked if at >= alone and change[at] > 0][:PROMISING]
    for at in sorted(worth, key=lambda at: -change[at]):
        found = standing(objective, rows[at], best.value)
        if found is not None:
            return found
    return None


def _doubt(objective: Objective, one: Real, other: Real) -> float:
    """How much the turns' own places may add to the change that an evenly filled section gives, as a share."""
    if one[5] == other[5] and _layers(objective, one) == _layers(objective, other):
        return ALIKE * objective.aim.steepness
    return max(EVEN, COARSE / one[5]) * objective.aim.steepness


def _layers(objective: Objective, row: Real) -> int:
    pieces = objective.family.pieces
    return layer_count(ceil(row[5] / pieces), float(row[3]), float(row[4]) / pieces)


def _filled(objective: Objective, rows: Real) -> Real:
    """Rows that are windings at all, with as many turns as fit."""
    rows = _sound(rows)
    rows[:, 5] = objective.turns_allowed(rows)
    return rows[rows[:, 5] >= 1]


def _sound(rows: Real) -> Real:
    rows = np.round(rows, 8)
    return rows[(rows[:, 5] >= 1) & (rows[:, 1] < rows[:, 2]) & (rows[:, :5] > 0).all(axis=1)]


@cache
def _steps(held: bool) -> tuple[Real, Real, Real]:
    """Steps (S, 6) in m and turns: of single variables, of dimensions together, of all of them to the nearest."""
    sizes = range(1 if held else 0, 5)
    alone = sorted({*STEPS_MM, *STRIDES_MM, *(-stride for stride in STRIDES_MM)})
    single = [{at: step} for at in sizes for step in alone]
    pairs = [
        {one: a * stride, other: b * stride}
        for one, other in combinations(sizes, 2)
        for stride in STRIDES_MM
        for a, b in product((-1, 1), repeat=2)
    ]
    radii = [{at: side * stride for at in sizes if at < 3} for stride in STRIDES_MM for side in (-1, 1)]
    turns = [{5: step * 1e3} for step in TURN_STEPS]
    nearest = product((-STRIDES_MM[0], 0.0, STRIDES_MM[0]), repeat=len(sizes))
    near = [dict(zip(sizes, steps, strict=True)) for steps in nearest]
    return _rows([*single, *turns]), _rows([*single, *pairs, *radii]), _rows(near)


def _rows(steps: list[dict[int, float]]) -> Real:
    found = np.zeros((len(steps), 6))
    for row, step in zip(found, steps, strict=True):
        for at, size in step.items():
            row[at] = size * 1e-3
    return found
