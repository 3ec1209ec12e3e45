"""Turns and wire for a geometry: they follow from section, turn length and limits alone, whatever the magnets."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from geometry.curve import Real, Whole
from geometry.section import most_turns
from geometry.wire import Wire
from optimizer.brief import Brief
from optimizer.choices import Family
from optimizer.goal import GOALS
from optimizer.kernel import Windings


@dataclass(frozen=True, slots=True)
class Wiring:
    """The best wire of the list for each geometry: the goal's merit (0 where none fits), turns, index of the wire."""

    merit: Real
    turns: Real
    wire: Whole


def wire_at_hand(brief: Brief, wire: Wire, phases: int = 1) -> float:
    """Most metres of `wire` that length and resistance limits allow one of `phases` phases."""
    by_length = np.inf if brief.length is None else brief.length / phases
    by_resistance = np.inf if brief.resistance is None else brief.resistance / wire.resistance_per_metre
    return float(min(by_length, by_resistance))


def turns_allowed(
    brief: Brief, wire: Wire, section: tuple[ArrayLike, ArrayLike], length: ArrayLike, phases: int = 1
) -> Real:
    """Most whole turns per coil of `wire` by section, wire length and resistance; arguments in m broadcast.

    section: width and height of the bundle. length: of one turn of every coil of a phase.
    """
    by_wire = np.floor(wire_at_hand(brief, wire, phases) / np.asarray(length) * (1 + 1e-9))
    return np.minimum(most_turns(*section, wire, brief.fill_factor), by_wire)


def best_wiring(brief: Brief, section: tuple[Real, Real], length: Real, phases: int = 1) -> Wiring:
    """The best wire and turns for each geometry; of wires that serve the goal equally, the thickest.

    section: width and height in m; length: see `turns_allowed`, infinite for what does not fit; they broadcast.
    """
    goal = GOALS[brief.goal]
    shape = np.broadcast_shapes(section[0].shape, section[1].shape, length.shape)
    merit, turns, chosen = np.zeros(shape), np.zeros(shape), np.zeros(shape, dtype=np.intp)
    for index in sorted(range(len(brief.wires)), key=lambda i: -brief.wires[i].diameter):
        wire = brief.wires[index]
        count = turns_allowed(brief, wire, section, length, phases)
        value = goal.merit(count, length, wire, phases)
        better = value > merit
        np.copyto(merit, value, where=better)
        np.copyto(turns, count, where=better)
        np.copyto(chosen, index, where=better)
    return Wiring(merit, turns, chosen)


def wiring_of(brief: Brief, family: Family, windings: Windings, heights: Real) -> Wiring:
    """`best_wiring` of every winding of the grid at every bundle height (H,), in shape (H, F)."""
    with np.errstate(divide="ignore", invalid="ignore"):
        length = np.where(windings.fits, family.phase_turn_length(windings.envelope), np.inf)
    section = np.asarray(windings.envelope.width), heights[:, None, None, None]
    return best_wiring(brief, section, length, family.phases)
