"""The search's objective: the goal's value at any dimensions and turns, and what each limit leaves there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from geometry.coils.bundle import cell_clearance
from geometry.curves.curve import Real
from geometry.fit.rules import carrier_clearances, winding_clearances
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.scan.choices import Dimensions, Family
from optimizer.scan.wiring import Bundle, bundle_of, turns_allowed, wire_for_turns
from optimizer.search.turn_emf import TurnEmf

FAR_MM = 1e3  # room of a rule that does not apply
TOLERANCE = 1e-7  # of the constraints, in mm or relative


@dataclass(frozen=True, slots=True)
class Objective:
    """What the local optimisation maximises, and within which limits: one family wound with one wire within one brief.

    Points come as rows (E, 6): the five dimensions in m, then the turns.
    """

    brief: Brief
    family: Family
    wire: Wire
    emf: TurnEmf

    def values(self, rows: Real) -> Real:
        """The goal's value with an evenly filled section, (E,)."""
        return self._values(rows, *self.emf.squares_and_lengths(rows[:, :5]))

    def values_and_clearances(self, rows: Real) -> tuple[Real, Real]:
        """What `values` and `clearances` give, at once."""
        squares, turn = self.emf.squares_and_lengths(rows[:, :5])
        return self._values(rows, squares, turn), self._clearances(rows, self._bundles(rows, turn))

    def value(self, dimensions: Dimensions, turns: float) -> float:
        """The goal's value with an evenly filled section."""
        return float(self.values(row_of(dimensions, turns))[0])

    def _values(self, rows: Real, squares: Real, turn: Real) -> Real:
        goal = GOALS[self.brief.goal]
        return goal.from_square(squares * goal.merit(rows[:, 5], turn, self.wire, self.family.phases))

    def _bundles(self, rows: Real, turn: Real | None = None) -> Bundle:
        envelope = self.emf.envelope(rows[:, 1], rows[:, 2], rows[:, 3])
        return bundle_of(self.family, envelope, rows[:, 4], turn)

    def clearances(self, rows: Real) -> Real:
        """What every limit leaves, in mm or as a logarithm of shares, (E, C); a layout fits when none is below zero."""
        return self._clearances(rows, self._bundles(rows))

    def _clearances(self, rows: Real, bundles: Bundle) -> Real:
        brief, family = self.brief, self.family
        pitch, inner, outer, width, height, turns = rows.T
        minimum = brief.least_layers * self.wire.overall_diameter
        carrier = carrier_clearances(brief.space, family.magnet, family.count, pitch)
        winding = winding_clearances(brief.space, family.topology, self.emf.envelope(inner, outer, width))
        section = (brief.coil_height - family.stacked * height, width - minimum, height / family.pieces - minimum)
        lengths = [*carrier.values(), *winding.values(), *section]
        fill = brief.fill_factor * width * height / (turns * self.wire.overall_area)
        wire = wire_for_turns(brief, self.wire, bundles) / (turns * bundles.turn)
        clearances = np.empty((len(rows), len(lengths) + 2))
        for column, length in enumerate(lengths):
            clearances[:, column] = np.minimum(length * 1e3, FAR_MM)
        clearances[:, -2], clearances[:, -1] = np.log(np.maximum(fill, 1e-9)), np.log(np.maximum(wire, 1e-9))
        return clearances

    def turns_allowed(self, rows: Real) -> Real:
        """Most whole turns at each point, (E,)."""
        return turns_allowed(self.brief, self.wire, self._bundles(rows))

    def fits(self, dimensions: Dimensions, turns: float) -> bool:
        """Whether every limit is kept, and each of a whole number of turns finds its place."""
        if (self.clearances(row_of(dimensions, turns)) < -TOLERANCE).any():
            return False
        return turns != int(turns) or self.cell_clearance(turns, dimensions.width, dimensions.height) > -1e-9

    def cell_clearance(self, turns: float, width: float, height: float) -> float:
        """What a whole number of turns leaves of the tightest turn's place, m."""
        return cell_clearance(int(turns), width, height, self.wire, self.family.pieces)


def row_of(dimensions: Dimensions, turns: float) -> Real:
    """A point as a row, (1, 6)."""
    return np.append(dimensions.as_array(), turns)[None]
