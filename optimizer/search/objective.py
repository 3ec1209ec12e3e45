"""The search's objective: the goal's value at any dimensions and turns, and what each limit leaves there."""

from __future__ import annotations

from functools import cached_property, partial
from typing import Any, Protocol

import numpy as np
from numpy.typing import ArrayLike

from geometry.coils.bundle import Envelope, cell_clearance
from geometry.curves.curve import Real, curve_length
from geometry.fit.rules import carrier_clearances, winding_clearances
from geometry.machine.layout import Layout
from geometry.machine.speed import rad_s_of
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.field.linkage import bundle_functional, node_counts
from optimizer.numerics.quadrature import gauss
from optimizer.scan.choices import Candidate, Dimensions, Family
from optimizer.scan.field_tables import FieldTable, tables_of
from optimizer.scan.wiring import Bundle, bundle_of, turns_allowed, wire_for_turns

FAR_MM = 1e3  # clearance of a rule that does not apply
TOLERANCE = 1e-7  # of the constraints, in mm or relative
SIZES = [1, 2, 3, 5]  # columns of what shapes a winding: radii, width and peg
OFFSETS = 3  # Gauss nodes across the bundle, the middle among them


class Aim(Protocol):
    """What a search maximises: a goal of the brief, or what a load makes of a machine."""

    @property
    def steepness(self) -> float:
        """How many times the doubt about the EMF is that about the value."""
        ...

    def weights(self, orders: Real) -> Real:
        """Factors (K,) of the squares of the EMF's orders (K,) in the square of one turn's EMF."""
        ...

    def merit(self, turns: ArrayLike, length: ArrayLike, wire: Wire, phases: int = 1) -> Real:
        """What the square of one turn's EMF, V², is multiplied by; length: of a phase's turn, m; it broadcasts."""
        ...

    def from_square(self, merit_times_square: ArrayLike) -> Real:
        """The value, in the unit of what is sought, of the same shape."""
        ...

    def worth(self, layout: Layout) -> float:
        """The value of a layout with its own turns, in the same unit, above zero."""
        ...


class Objective:
    """What the local optimisation maximises, and within which limits: one family wound with one wire within one brief.

    Points come as rows (E, 7): pitch radius, inner and outer radius, width, height and peg radius in m, then the turns.
    keeps_pegs: whether the pegs stay those of the start, where they might be thicker.
    """

    def __init__(
        self,
        brief: Brief,
        family: Family,
        wire: Wire,
        aim: Aim | None = None,
        *,
        keeps_pegs: bool = False,
    ) -> None:
        self.brief, self.family, self.wire, self.aim = brief, family, wire, aim or GOALS[brief.goal]
        self.varies_pegs = family.topology.bends_about_pegs and not keeps_pegs

    def __reduce__(self) -> tuple[Any, ...]:
        asked = self.brief, self.family, self.wire, self.aim
        return partial(Objective, keeps_pegs=not self.varies_pegs), asked

    @cached_property
    def _table(self) -> FieldTable:
        return tables_of(self.brief).of(self.family.magnet, self.family.count, self.family.stacked)

    @cached_property
    def _shares(self) -> Real:
        return self.family.distribution(self._table.orders)

    @cached_property
    def _weights(self) -> Real:
        scale = (rad_s_of(self.brief.speed_rpm) * self.family.half_turns) ** 2 / 2
        return scale * self.aim.weights(self._table.orders)

    def values(self, rows: Real) -> Real:
        """The goal's value in its unit with an evenly filled section, (E,)."""
        return self._values(rows, *self._squares_and_lengths(rows))

    def values_and_clearances(self, rows: Real) -> tuple[Real, Real]:
        """What `values` (E,), in the goal's unit, and `clearances` (E, C) give, at once."""
        squares, turn = self._squares_and_lengths(rows)
        return self._values(rows, squares, turn), self.clearances(rows, turn)

    def candidate(self, row: Real, value: float) -> Candidate:
        """A row (7,) whose value, in the goal's unit, is known."""
        return Candidate(self.family, Dimensions(*row[:-1].tolist()), self.wire, float(row[-1]), value)

    def of_wire(self, wire: Wire) -> Objective:
        """The same with another wire."""
        return Objective(self.brief, self.family, wire, self.aim, keeps_pegs=not self.varies_pegs)

    def _values(self, rows: Real, squares: Real, turn: Real) -> Real:
        return self.aim.from_square(squares * self.aim.merit(rows[:, -1], turn, self.wire, self.family.phases))

    def _envelope(self, sizes: Real) -> Envelope:
        inner, outer, width, peg = sizes
        return Envelope(
            inner_radius=inner, outer_radius=outer, width=width, sectors=self.family.sectors, peg_radius=peg
        )

    def _bundles(self, rows: Real, turn: Real | None = None) -> Bundle:
        return bundle_of(self.family, self._envelope(rows.T[SIZES]), rows[:, 4], turn)

    def clearances(self, rows: Real, turn: Real | None = None) -> Real:
        """What every limit leaves, in mm or as a logarithm of shares, (E, C); a layout fits when none is below zero.

        turn: length of a phase's turn, m, (E,), if known.
        """
        brief, family, bundles = self.brief, self.family, self._bundles(rows, turn)
        pitch, _, _, width, height, peg, turns = rows.T
        minimum = brief.least_layers * self.wire.overall_diameter
        carrier = carrier_clearances(brief.space, family.magnet, family.count, pitch)
        winding = winding_clearances(brief.space, family.topology, self._envelope(rows.T[SIZES]))
        section = (brief.coil_height - family.stacked * height, width - minimum, height / family.pieces - minimum)
        lengths = [*carrier.values(), *winding.values(), *section, peg - brief.peg_radius]
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

    def fits(self, row: Real) -> bool:
        """Whether a row (7,) keeps every limit, and each of a whole number of turns finds its place."""
        if (self.clearances(row[None]) < -TOLERANCE).any():
            return False
        return row[-1] != int(row[-1]) or self.cell_clearance(row) > -1e-9

    def cell_clearance(self, row: Real) -> float:
        """What a row (7,) of whole turns leaves of the tightest turn's place, m."""
        return cell_clearance(int(row[-1]), float(row[3]), float(row[4]), self.wire, self.family.pieces)

    def _squares_and_lengths(self, rows: Real) -> tuple[Real, Real]:
        """Mean square EMF of one turn of every coil of a phase, evenly spread over the bundle's section, V² (E,), and
        that turn's length, m (E,)."""
        windings, which = _different(rows[:, SIZES])
        fields, whose = _different(rows[:, :5:4])
        functionals, lengths = self._functionals(windings)
        means = self._table.means(fields[:, 0], fields[:, 1] * self.family.stacked)
        linked = functionals @ (means.transpose(1, 2, 0) * self._shares[:, None, None])
        return self._weights @ linked[:, which, whose] ** 2, lengths[which]

    def _functionals(self, windings: Real) -> tuple[Real, Real]:
        """Rows of weights (K, E, R), mean over the bundle, of radii, width and peg (E, 4), m; lengths."""
        t, w = gauss(OFFSETS)
        sizes = windings.T[:, :, None]
        stretches = self.family.topology.half_turn(self._envelope(sizes), (t - 0.5) * sizes[2])
        lengths = np.broadcast_to(curve_length(stretches), (len(windings), OFFSETS))[:, OFFSETS // 2]
        poles, radii = self._table.orders * (self.family.count // 2), self._table.radii
        nodes = node_counts(stretches, radii)
        return bundle_functional(stretches, nodes, w, radii, poles), self.family.half_turns * lengths


def _different(rows: Real) -> tuple[Real, list[int]]:
    """The rows that differ, in order, and which of them each is."""
    known: dict[bytes, int] = {}
    data, size = rows.tobytes(), rows.shape[1] * rows.itemsize
    which = [known.setdefault(data[at : at + size], len(known)) for at in range(0, len(data), size)]
    return np.frombuffer(b"".join(known)).reshape(len(known), -1), which
