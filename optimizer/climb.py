"""The continuous search: scipy climbs from a grid point to the best dimensions and turns. The door to scipy.optimize."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
from scipy.optimize import minimize

from geometry.curve import Real
from geometry.fit import carrier_room, winding_room
from geometry.section import cell_room
from geometry.wire import Wire
from optimizer.brief import Brief
from optimizer.choices import Dimensions, Family, envelope_of
from optimizer.goal import GOALS
from optimizer.turn_emf import TurnEmf
from optimizer.wiring import wire_at_hand

STEP_MM = 2e-4  # of the finite differences
ROUNDED_MM = 0.01  # what a workshop can set
FAR_MM = 1e3  # room of a rule that does not apply
TOLERANCE = 1e-7  # of the constraints, in mm or relative
NEARLY = 3e-4  # the same for a climb's end, which rounding will mend
TURNS_SCALE = 20.0  # of the turns' logarithm beside millimetres


@dataclass(frozen=True, slots=True)
class Optimum:
    """Where a climb ended: dimensions, turns (whole or not) and the goal's value with an evenly filled section."""

    dimensions: Dimensions
    turns: float
    value: float


@dataclass(frozen=True, slots=True)
class Slope:
    """What is climbed: one family wound with one wire within one brief."""

    brief: Brief
    family: Family
    wire: Wire
    emf: TurnEmf

    def value(self, dimensions: Dimensions, turns: float) -> float:
        """The goal's value with an evenly filled section."""
        goal = GOALS[self.brief.goal]
        merit = goal.merit(turns, self.turn_length(dimensions), self.wire)
        return float(goal.from_square(self.emf.mean_square(dimensions) * merit))

    def turn_length(self, dimensions: Dimensions) -> float:
        """Length of one turn of every coil together, m."""
        return float(self.family.topology.turn_length(envelope_of(self.brief, self.family, dimensions)))

    def room(self, dimensions: Dimensions, turns: float) -> Real:
        """What every limit leaves, in mm or as a logarithm of shares; a layout fits when none is below zero."""
        brief, family = self.brief, self.family
        carrier = carrier_room(brief.space, family.magnet.diameter, family.count, dimensions.pitch_radius)
        winding = winding_room(brief.space, family.topology, envelope_of(brief, family, dimensions))
        lengths = [*carrier.values(), *winding.values(), brief.coil_height - dimensions.height]
        section = dimensions.width * dimensions.height
        shares = [
            brief.fill_factor * section / (turns * self.wire.overall_area),
            wire_at_hand(brief, self.wire) / (turns * self.turn_length(dimensions)),
        ]
        logs = np.log(np.maximum(shares, 1e-9))
        return np.concatenate((np.minimum(np.array(lengths, float) * 1e3, FAR_MM), logs))

    def fits(self, dimensions: Dimensions, turns: float) -> bool:
        """Whether every limit is kept, and each of a whole number of turns finds its place."""
        if (self.room(dimensions, turns) < -TOLERANCE).any():
            return False
        return turns != int(turns) or cell_room(int(turns), dimensions.width, dimensions.height, self.wire) > -1e-9


def climb(slope: Slope, start: Dimensions, turns: float, *, whole: bool = False) -> Optimum | None:
    """Best dimensions near `start`, and best turns as a real number, or with `turns` kept when they are `whole`.

    None when the climb ends where something does not fit.
    """
    least_mm = slope.wire.overall_diameter * 1e3

    def unpack(x: Real) -> tuple[Dimensions, float]:
        sizes = np.array(x[:5]) * 1e-3
        return Dimensions(*sizes.tolist()), turns if whole else float(np.exp(x[5] / TURNS_SCALE))

    def room(x: Real) -> Real:
        dimensions, n = unpack(x)
        rooms = slope.room(dimensions, n)
        if not whole:
            return rooms
        return np.append(rooms, cell_room(int(n), dimensions.width, dimensions.height, slope.wire) * 1e3)

    edge = slope.brief.space.outer_radius * 1e3
    bounds = [(least_mm, edge)] * 3 + [(least_mm, edge), (least_mm, max(slope.brief.coil_height * 1e3, least_mm))]
    first = start.as_array() * 1e3
    found = minimize(
        lambda x: -np.log(max(slope.value(*unpack(x)), 1e-30)),
        first if whole else np.append(first, np.log(turns) * TURNS_SCALE),
        method="SLSQP",
        bounds=bounds if whole else [*bounds, (0.0, 12.0 * TURNS_SCALE)],
        constraints={"type": "ineq", "fun": room},
        options={"eps": STEP_MM, "ftol": 1e-7, "maxiter": 100},
    )
    dimensions, n = unpack(found.x)
    if (slope.room(dimensions, n) < -NEARLY).any():
        return None
    return Optimum(dimensions, n, slope.value(dimensions, n))


def settle(slope: Slope, near: Optimum) -> Optimum | None:
    """Whole turns and dimensions in hundredths of a millimetre, the best near an optimum of real numbers.

    Tries the whole numbers on either side, climbs again with each, then rounds every dimension both ways and keeps
    the best of those that fit. None when none does.
    """
    whole = sorted({max(int(near.turns + 1e-6) + step, 1) for step in (-1, 0, 1)})
    climbed = [climb(slope, near.dimensions, float(turns), whole=True) for turns in whole]
    rounded = [_rounded(slope, optimum) for optimum in climbed if optimum is not None]
    return max((optimum for optimum in rounded if optimum is not None), key=lambda o: o.value, default=None)


def _rounded(slope: Slope, optimum: Optimum) -> Optimum | None:
    exact = optimum.dimensions.as_array() * 1e3 / ROUNDED_MM
    sides = [sorted({float(np.floor(x + 1e-6)), float(np.ceil(x - 1e-6))}) for x in exact]
    candidates = [Dimensions(*(round(x * ROUNDED_MM, 6) / 1e3 for x in corner)) for corner in product(*sides)]
    fitting = [d for d in candidates if slope.fits(d, optimum.turns)]
    valued = [Optimum(d, optimum.turns, slope.value(d, optimum.turns)) for d in fitting]
    return max(valued, key=lambda o: o.value, default=None)
