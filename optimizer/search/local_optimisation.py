"""The continuous search: scipy climbs from a grid point to the best dimensions and turns.

The door to scipy.optimize.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from math import floor

import numpy as np
from scipy.optimize import minimize

from geometry.curves.curve import Real
from optimizer.scan.choices import Dimensions
from optimizer.search.objective import TOLERANCE, Objective

STEP_MM = 2e-4  # of the finite differences
ROUNDED_MM = 0.01  # what a workshop can set
NEARLY = 3e-4  # the same for a climb's end, which rounding will mend
MANY_TURNS = 150  # above which one turn more or less hardly shows
TURNS_SCALE = 20.0  # of the turns' logarithm beside millimetres


@dataclass(frozen=True, slots=True)
class Optimum:
    """Where a climb ended: dimensions, turns (whole or not) and the goal's value with an evenly filled section."""

    dimensions: Dimensions
    turns: float
    value: float


def climb(slope: Objective, start: Dimensions, turns: float, *, whole: bool = False) -> Optimum | None:
    """Best dimensions near `start`, and best turns as a real number, or with `turns` kept when they are `whole`.

    None when the climb ends where something does not fit, or no bundle of this wire is ever low enough.
    """
    path = _Path(slope, float(turns) if whole else None)
    first, bounds = path.pack(start, turns), path.bounds()
    if bounds is None:
        return None
    found = minimize(
        path.loss, first, jac=path.loss_gradient, method="SLSQP", bounds=bounds,
        constraints={"type": "ineq", "fun": path.clearance, "jac": path.clearance_gradient},
        options={"ftol": 1e-6, "maxiter": 60},
    )  # fmt: skip
    row = path.rows(found.x[None])
    if (slope.clearances(row) < -NEARLY).any():
        return None
    return Optimum(Dimensions(*row[0, :5].tolist()), float(row[0, 5]), float(slope.values(row)[0]))


@dataclass(frozen=True, slots=True)
class _Path:
    """The climb in scipy's terms: x is the dimensions in mm and, unless `turns` are kept, their scaled logarithm."""

    slope: Objective
    turns: float | None

    def pack(self, dimensions: Dimensions, turns: float) -> Real:
        sizes = dimensions.as_array() * 1e3
        return sizes if self.turns is not None else np.append(sizes, np.log(turns) * TURNS_SCALE)

    def rows(self, x: Real) -> Real:
        turns = np.full(len(x), self.turns) if self.turns is not None else np.exp(x[:, 5] / TURNS_SCALE)
        return np.column_stack((x[:, :5] * 1e-3, turns))

    def bounds(self) -> list[tuple[float, float]] | None:
        """None when no bundle of this wire is ever low enough."""
        brief, family, wire = self.slope.brief, self.slope.family, self.slope.wire.overall_diameter * 1e3
        minimum, edge = brief.least_layers * wire, brief.space.outer_radius * 1e3
        low, high = minimum * family.pieces, brief.coil_height / family.stacked * 1e3
        if low > high + TOLERANCE:
            return None
        sizes = [(wire, edge)] * 3 + [(minimum, edge), (low, max(low, high))]
        return sizes if self.turns is not None else [*sizes, (0.0, 12.0 * TURNS_SCALE)]

    def loss(self, x: Real) -> float:
        return float(self._losses(x[None])[0])

    def loss_gradient(self, x: Real) -> Real:
        losses = self._losses(_steps(x))
        return (losses[1:] - losses[0]) / STEP_MM

    def clearance(self, x: Real) -> Real:
        return self._clearances(x[None])[0]

    def clearance_gradient(self, x: Real) -> Real:
        clearances = self._clearances(_steps(x))
        return (clearances[1:] - clearances[0]).T / STEP_MM

    def _losses(self, x: Real) -> Real:
        return -np.log(np.maximum(self.slope.values(self.rows(x)), 1e-30))

    def _clearances(self, x: Real) -> Real:
        rows = self.rows(x)
        clearances = self.slope.clearances(rows)
        if self.turns is None:
            return clearances
        cells = [self.slope.cell_clearance(self.turns, float(row[3]), float(row[4])) * 1e3 for row in rows]
        return np.column_stack((clearances, cells))


def _steps(x: Real) -> Real:
    """`x` and, row by row, `x` with one coordinate stepped by `STEP_MM`."""
    return np.vstack((x, x + STEP_MM * np.eye(x.size)))


def settle(slope: Objective, near: Optimum) -> list[Optimum]:
    """Finalists with whole turns and dimensions in hundredths of a millimetre near an optimum of real numbers.

    Climbs again with the whole numbers beside the optimum's turns, rounds every dimension of each end both ways,
    winds as many turns as fit and keeps the best of each end. Empty when nothing fits.
    """
    below = max(floor(near.turns + 1e-6), 1)
    whole = [below, below + 1] if near.turns < MANY_TURNS else [below]
    ends = [near, *(climb(slope, near.dimensions, turns, whole=True) for turns in whole)]
    rounded = [_rounded(slope, end.dimensions) for end in ends if end is not None]
    return [optimum for optimum in rounded if optimum is not None]


def _rounded(slope: Objective, dimensions: Dimensions) -> Optimum | None:
    exact = dimensions.as_array() * 1e3 / ROUNDED_MM
    sides = [sorted({float(np.floor(x + 1e-6)), float(np.ceil(x - 1e-6))}) for x in exact]
    rows = np.array([[round(x * ROUNDED_MM / 1e3, 8) for x in corner] for corner in product(*sides)])
    turns = slope.turns_allowed(rows)
    rows = np.column_stack((rows, turns))[turns >= 1]
    rows = rows[~(slope.clearances(rows) < -TOLERANCE).any(axis=1)]
    if not len(rows):
        return None
    values = slope.values(rows)
    best = int(np.argmax(values))
    return Optimum(Dimensions(*rows[best, :5].tolist()), float(rows[best, 5]), float(values[best]))
