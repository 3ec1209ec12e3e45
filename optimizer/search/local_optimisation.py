"""The local optimisation: scipy goes from a grid point to the best dimensions and turns, then to whole ones.

The door to scipy.optimize.
"""

# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# scipy has no types

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import floor

import numpy as np
from scipy.optimize import minimize

from geometry.curves.curve import Real
from optimizer.scan.choices import Candidate, pitch_limits
from optimizer.search.objective import TOLERANCE, Objective

STEP_MM = 2e-4  # of the finite differences
APART_MM = 1e-3  # kept of a shape's own limits, so that no step crosses where its legs vanish: lengths bend there
ROUNDED_MM = 0.01  # what a workshop can set
PEG_MM = 0.05  # of a corner's radius: tenths of a millimetre across, as fine as a former prints
NEARLY = 3e-4  # the same for its end, which rounding will mend
FURTHER = 32  # roundings a hundredth further off that are looked at
FEWER = 4  # turns that rounding may cost for which the dimensions are optimised again
MANY_TURNS, FEW_TURNS = 150, 60  # above which one turn more or less hardly shows; below which two do
# limits of single dimensions, which are bounds here: a limit that is told twice makes the method stop short
WITHIN_BOUNDS = [1, 2, 3, 4, -6, -5, -4, -3]
TURNS_SCALE = 20.0  # of the turns' logarithm beside millimetres


def local_optimum(
    objective: Objective, start: Candidate, whole: int | None = None, *, held: bool = False
) -> Candidate | None:
    """Best dimensions near `start`, and best turns as a real number, or with just `whole` turns.

    The former's corners are free where the turns are, and else kept. held: whether the pitch radius is kept. None when
    the way ends where something does not fit, or no bundle of this wire is ever low enough.
    """
    path = _Path(objective, start, whole=whole, held=held)
    bounds = path.bounds()
    if bounds is None:
        return None
    found = minimize(
        path.loss, path.start[path.free], jac=path.loss_gradient, method="SLSQP", bounds=bounds,
        constraints={"type": "ineq", "fun": path.clearances, "jac": path.clearance_gradients},
        options={"ftol": 1e-6, "maxiter": 60},
    )  # fmt: skip
    row = path.rows(found.x[None])
    values, clearances = objective.values_and_clearances(row)
    return None if (clearances < -NEARLY).any() else objective.candidate(row[0], float(values[0]))


class _Path:
    """The way in scipy's terms: x is the free ones of the dimensions in mm and the turns' scaled logarithm.

    At each x one look gives the loss, what each limit leaves, and the gradients of both.
    """

    def __init__(self, objective: Objective, start: Candidate, *, whole: int | None, held: bool) -> None:
        self.objective, self.whole = objective, whole
        turns = np.log(start.turns if whole is None else whole) * TURNS_SCALE
        self.start = np.append(start.row[:-1] * 1e3, turns)
        pegs = whole is None and objective.varies_pegs
        self.free = np.flatnonzero([not held, True, True, True, True, pegs, whole is None])
        self._seen, self._look = b"", (0.0, self.start, self.start, self.start)

    def rows(self, x: Real) -> Real:
        """Points (E, 7) of the objective."""
        every = np.repeat(self.start[None], len(x), axis=0)
        every[:, self.free] = x
        every[:, :-1] *= 1e-3
        every[:, -1] = np.exp(every[:, -1] / TURNS_SCALE) if self.whole is None else self.whole
        return every

    def bounds(self) -> list[tuple[float, float]] | None:
        """None when no bundle of this wire is ever low enough."""
        brief, family = self.objective.brief, self.objective.family
        minimum = brief.least_layers * self.objective.wire.overall_diameter * 1e3
        low, high = minimum * family.pieces, brief.coil_height / family.stacked * 1e3
        if low > high + TOLERANCE:
            return None
        edge = brief.space.outer_radius * 1e3
        within = brief.space.bore_radius * 1e3, edge
        nearest, farthest = (limit * 1e3 for limit in pitch_limits(brief, family.magnet))
        sizes = [
            (nearest, max(nearest, farthest)), within, within, (minimum, edge), (low, max(low, high)),
            (brief.peg_radius * 1e3, max(brief.peg_radius * 1e3, edge)), (0.0, 12.0 * TURNS_SCALE),
        ]  # fmt: skip
        return [sizes[at] for at in self.free]

    def loss(self, x: Real) -> float:
        return self._at(x)[0]

    def loss_gradient(self, x: Real) -> Real:
        return self._at(x)[1]

    def clearances(self, x: Real) -> Real:
        return self._at(x)[2]

    def clearance_gradients(self, x: Real) -> Real:
        return self._at(x)[3]

    def _at(self, x: Real) -> tuple[float, Real, Real, Real]:
        if x.tobytes() != self._seen:
            rows = self.rows(np.vstack((x, x + STEP_MM * np.eye(x.size))))
            values, clearances = self.objective.values_and_clearances(rows)
            clearances = np.delete(clearances, WITHIN_BOUNDS, axis=1)
            clearances[:, 1:-2] -= APART_MM
            if self.whole is not None:
                cells = [self.objective.cell_clearance(row) * 1e3 for row in rows]
                clearances = np.column_stack((clearances, cells))
            losses = -np.log(np.maximum(values, 1e-30))
            gradients = (losses[1:] - losses[0]) / STEP_MM, (clearances[1:] - clearances[0]).T / STEP_MM
            self._seen, self._look = x.tobytes(), (float(losses[0]), gradients[0], clearances[0], gradients[1])
        return self._look


def rounded_nearby(objective: Objective, near: Candidate, *, held: bool = False) -> list[Candidate]:
    """Candidates with whole turns and dimensions in hundredths of a millimetre near an optimum of real numbers.

    Sets the peg, optimises again with the whole numbers beside the optimum's turns, rounds all other dimensions of each
    end both ways and winds as many turns as fit; where these are fewer, optimises with those too. Empty when none fits.
    """
    near = _with_peg_set(objective, near)
    below = max(floor(near.turns + 1e-6), 1)
    aside = 0 if near.turns >= MANY_TURNS else 1 if near.turns >= FEW_TURNS else 2
    ends, left = [near], [*range(max(below + 1 - aside, 1), below + 1 + aside)] or [below]
    found, tried = list[Candidate](), set[int]()
    while ends or left:
        if not ends:
            turns = left.pop()
            tried.add(turns)
            end = local_optimum(objective, near, turns, held=held)
            ends += [end] if end is not None else []
            continue
        rounded = best_fitting(objective, _rounded_both_ways(objective, ends.pop()))
        if rounded is not None:
            found.append(rounded)
            left += {int(rounded.turns)} - tried - {*left} if below - rounded.turns < FEWER else set()
    return found


def _with_peg_set(objective: Objective, near: Candidate) -> Candidate:
    """The next smaller peg that can be set, which keeps what fits; never below the brief's."""
    peg = floor(near.dimensions.peg_radius * 1e3 / PEG_MM + 1e-6) * PEG_MM / 1e3
    least = objective.brief.peg_radius
    return replace(near, dimensions=replace(near.dimensions, peg_radius=max(round(peg, 8), least)))


def _rounded_both_ways(objective: Objective, end: Candidate) -> Real:
    """Dimensions in hundredths of a millimetre about an end, its own peg last, (E, 6), m.

    Every one up and down; and where that loses a turn, those a hundredth further off, the nearest ones, that keep it.
    """
    exact = end.row[:5] * 1e3 / ROUNDED_MM
    sides = [sorted({float(np.floor(x + 1e-6)), float(np.ceil(x - 1e-6))}) for x in exact]
    beside, turns = _hundredths(sides, end), floor(end.turns + 1e-6)
    if (_keeping(objective, beside) >= turns).any():
        return beside
    further = _hundredths([[side[0] - 1, *side, side[-1] + 1] for side in sides], end)
    further = further[_keeping(objective, further) >= turns]
    off = np.abs(further[:, :-1] * 1e3 / ROUNDED_MM - exact).sum(axis=1)
    return np.vstack((beside, further[np.argsort(off, kind="stable")[:FURTHER]]))


def _hundredths(sides: list[list[float]], end: Candidate) -> Real:
    rows = np.round(np.array([*product(*sides)]) * (ROUNDED_MM / 1e3), 8)
    return np.column_stack((rows, np.full(len(rows), end.dimensions.peg_radius)))


def _keeping(objective: Objective, dimensions: Real) -> Real:
    """Most whole turns of dimensions (E, 6), m; none where a limit is broken."""
    rows = np.column_stack((dimensions, np.ones(len(dimensions))))
    rows[:, -1] = np.maximum(objective.turns_allowed(rows), 1)
    return np.where((objective.clearances(rows) >= -TOLERANCE).all(axis=1), rows[:, -1], 0)


def best_fitting(objective: Objective, dimensions: Real) -> Candidate | None:
    """The best of dimensions (E, 6), m, with as many whole turns as fit; None when none fits."""
    rows = np.column_stack((dimensions, np.ones(len(dimensions))))
    rows[:, -1] = objective.turns_allowed(rows)
    rows = rows[rows[:, -1] >= 1]
    rows = rows[~(objective.clearances(rows) < -TOLERANCE).any(axis=1)] if len(rows) else rows
    if not len(rows):
        return None
    values = objective.values(rows)
    best = int(np.argmax(values))
    return objective.candidate(rows[best], float(values[best]))
