"""The last step of the search: from a layout that can be set to one that no single move makes better.

Dimensions move by hundredths of a millimetre and more, one, two or all radii at a time, with as many turns as then fit,
and every move of `neighbours` is tried with its turns kept. The evenly filled section ranks the moves; the layout's own
turns, as `optimizer.evaluation.chain` has them, decide. What a look at these tells of the ranking's slopes is kept, so
that on a flat top no move is looked at that one alike has ruled out.
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
from optimizer.search.local_optimisation import PEG_MM
from optimizer.search.neighbours import STEPS_MM, TURN_STEPS, fits_brief
from optimizer.search.objective import TOLERANCE, Objective

STRIDES_MM = (0.01, 0.03, 0.1, 0.3)  # of dimensions that move together
GAIN = 1e-5  # relative, below which no move is worth making
PEG, TURNS = 5, 6  # columns of a row
EVEN, COARSE = 2e-3, 0.3  # how far an evenly filled section may be off, as a share, and that times the turns
SLOPE, SEEN = 2.0, 0.1  # how far, in shares per m, between sections in equal layers, and what is left after a look
PROMISING = 3  # moves with other turns that are looked at closely, at most
MOST = 300  # steps


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """A layout that can be built, the value of its own turns in the goal's unit, and what it was optimised by.

    row: its dimensions and turns as the objective has them, (7,).
    """

    objective: Objective
    layout: Layout
    row: Real
    value: float


def standing(objective: Objective, row: Real) -> Standing | None:
    """The layout of a row (7,) of whole hundredths of a mm and whole turns; None when it cannot be built."""
    laid = _laid(objective, row)
    return laid if laid is not None and _can_be_built(laid) else None


def _laid(objective: Objective, row: Real) -> Standing | None:
    """The layout of a row, whether or not it can be built; None when it is no winding."""
    try:
        layout = layout_of(objective.brief, objective.candidate(row, 0.0))
    except ValueError:
        return None
    return Standing(objective, layout, row, objective.aim.worth(layout))


def _can_be_built(laid: Standing) -> bool:
    """Shapely, which takes longest, is asked last."""
    return fits_brief(laid.objective.brief, laid.layout) and not overlaps(laid.layout)


def polished(start: Standing, *, held: bool = False) -> Standing:
    """A layout that none of its fitting single moves makes better; held: whether the pitch radius is kept."""
    best, slopes = start, _Slopes(start)
    for _ in range(MOST):
        better = _better(best, slopes, held=held)
        if better is None:
            return best
        best = better
    raise AssertionError(f"no end to better moves near {best.layout}")


class _Slopes:
    """How the value's true change differs from what an evenly filled section tells, along each dimension.

    off: shares per m, as the looks so far have it, (D,); doubt: what it may still be off, (D,).
    """

    def __init__(self, start: Standing) -> None:
        self.off = np.zeros(start.row.size - 1)
        self.doubt = np.full(start.row.size - 1, SLOPE * start.objective.aim.steepness)

    def learn(self, step: Real, error: float) -> None:
        """Take note of a look: along a step (D,), m, the true change was greater by an error than told, a share."""
        self.off += (error - step @ self.off) * step / (step @ step)
        if np.count_nonzero(step) == 1:
            self.doubt[step != 0] *= SEEN


def _better(best: Standing, slopes: _Slopes, *, held: bool) -> Standing | None:
    """A move that is better: of single ones any that might be, of others the most promising, the nearest last."""
    objective = best.objective
    singles, together, nearest = _steps(held, objective.varies_pegs)
    kept = _sound(objective, best.row + singles)
    return (
        _best_of(best, slopes, kept, _filled(objective, best.row + together))
        or _best_of(best, slopes, kept[:0], _filled(objective, best.row + nearest))
        or _with_another_wire(best)
    )


def _with_another_wire(best: Standing) -> Standing | None:
    objective = best.objective
    value = float(objective.values(best.row[None])[0])
    for wire in objective.brief.wires:
        other = objective.of_wire(wire)
        if wire != objective.wire and (other.clearances(best.row[None]) >= -TOLERANCE).all():
            change = float(other.values(best.row[None])[0]) / value - 1
            laid = _laid(other, best.row) if change > -_unlike(objective, best.row) else None
            if laid is not None and laid.value > best.value * (1 + GAIN) and _can_be_built(laid):
                return laid
    return None


def _best_of(best: Standing, slopes: _Slopes, single: Real, filled: Real) -> Standing | None:
    objective = best.objective
    rows = np.vstack((best.row, single, filled))
    fits = np.all(objective.clearances(rows) >= -TOLERANCE, axis=1)
    alone = np.arange(1, len(rows))[fits[1:]] <= len(single)
    rows = rows[1:][fits[1:]]
    values = objective.values(np.vstack((best.row, rows)))
    steps, change, unlike = rows[:, :-1] - best.row[:-1], values[1:] / values[0] - 1, _unlike(objective, best.row)
    near = change + np.maximum(unlike, np.abs(steps) @ (slopes.doubt + np.abs(slopes.off))) > 0
    rows, alone, steps, change = rows[near], alone[near], steps[near], change[near]
    layers = _layers(objective, best.row)
    alike = np.array([row[TURNS] == best.row[TURNS] and _layers(objective, row) == layers for row in rows], dtype=bool)
    left, promising = np.ones(len(rows), dtype=bool), PROMISING
    while True:
        expected = change + steps @ slopes.off
        doubt = np.where(alike, np.abs(steps) @ slopes.doubt, unlike)
        hopeful = np.where(alone, expected + doubt, expected if promising else 0.0) > GAIN
        if not (left & hopeful).any():
            return None
        at = int(np.argmax(np.where(left & hopeful, expected, -np.inf)))
        left[at] = False
        promising -= int(not alone[at])
        laid = _laid(objective, rows[at])
        if laid is None:
            continue
        gain = laid.value / best.value - 1
        if alike[at]:
            slopes.learn(steps[at], gain - change[at])
        if gain > GAIN and _can_be_built(laid):
            return laid


def _unlike(objective: Objective, row: Real) -> float:
    """How much the turns' own places may add to the change that an evenly filled section gives, as a share."""
    return max(EVEN, COARSE / row[TURNS]) * objective.aim.steepness


def _layers(objective: Objective, row: Real) -> int:
    pieces = objective.family.pieces
    return layer_count(ceil(row[TURNS] / pieces), float(row[3]), float(row[4]) / pieces, objective.wire.strands)


def _filled(objective: Objective, rows: Real) -> Real:
    """Rows that are windings at all, with as many turns as fit."""
    rows = _sound(objective, rows)
    rows[:, TURNS] = objective.turns_allowed(rows)
    return rows[rows[:, TURNS] >= 1]


def _sound(objective: Objective, rows: Real) -> Real:
    rows = np.round(rows, 8)
    rows[:, PEG] = np.maximum(rows[:, PEG], objective.brief.peg_radius)
    return rows[(rows[:, TURNS] >= 1) & (rows[:, 1] < rows[:, 2]) & (rows[:, :PEG] > 0).all(axis=1)]


@cache
def _steps(held: bool, pegs: bool) -> tuple[Real, Real, Real]:
    """Steps (S, 7) in m and turns: of single variables, of dimensions together, of all of them to the nearest."""
    sizes = range(1 if held else 0, 5)
    alone = sorted({*STEPS_MM, *STRIDES_MM, *(-stride for stride in STRIDES_MM)})
    single = [{at: step} for at in sizes for step in alone]
    single += [{PEG: step / 2} for step in STEPS_MM if pegs]
    pairs = [
        {one: a * stride, other: b * stride}
        for one, other in combinations(sizes, 2)
        for stride in STRIDES_MM
        for a, b in product((-1, 1), repeat=2)
    ]
    pairs += [
        {at: a * stride, PEG: b * max(stride, PEG_MM)}
        for at in sizes
        for stride in STRIDES_MM
        for a, b in product((-1, 1), repeat=2)
        if pegs
    ]
    radii = [{at: side * stride for at in sizes if at < 3} for stride in STRIDES_MM for side in (-1, 1)]
    turns = [{TURNS: step * 1e3} for step in TURN_STEPS]
    nearest = product((-STRIDES_MM[0], 0.0, STRIDES_MM[0]), repeat=len(sizes))
    near = [dict(zip(sizes, steps, strict=True)) for steps in nearest]
    return _rows([*single, *turns]), _rows([*single, *pairs, *radii]), _rows(near)


def _rows(steps: list[dict[int, float]]) -> Real:
    found = np.zeros((len(steps), 7))
    for row, step in zip(found, steps, strict=True):
        for at, size in step.items():
            row[at] = size * 1e-3
    return found
