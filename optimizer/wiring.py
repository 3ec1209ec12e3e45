"""Turns and wire for a geometry: they follow from section, turn length and limits alone, whatever the magnets."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from geometry.curve import Real, Whole
from geometry.section import most_turns
from geometry.wire import Wire
from optimizer.brief import Brief
from optimizer.goal import GOALS
from optimizer.kernel import Windings


@dataclass(frozen=True, slots=True)
class Wiring:
    """The best wire of the list for each geometry: the goal's merit (0 where none fits), turns, index of the wire."""

    merit: Real
    turns: Real
    wire: Whole


def wire_at_hand(brief: Brief, wire: Wire) -> float:
    """Most metres of `wire` that length and resistance limits allow, all coils together."""
    by_length = np.inf if brief.length is None else brief.length
    by_resistance = np.inf if brief.resistance is None else brief.resistance / wire.resistance_per_metre
    return float(min(by_length, by_resistance))


def turns_allowed(brief: Brief, wire: Wire, width: ArrayLike, height: ArrayLike, length: ArrayLike) -> Real:
    """Most whole turns per coil of `wire` by section, wire length and resistance; arguments in m broadcast.

    length: of one turn of every coil together.
    """
    by_wire = np.floor(wire_at_hand(brief, wire) / np.asarray(length) * (1 + 1e-9))
    return np.minimum(most_turns(width, height, wire, brief.fill_factor), by_wire)


def best_wiring(brief: Brief, width: Real, height: Real, length: Real) -> Wiring:
    """The best wire and turns for each geometry; of wires that serve the goal equally, the thickest.

    width, height, length: m, broadcast; an infinite length stands for what does not fit.
    """
    goal = GOALS[brief.goal]
    shape = np.broadcast_shapes(width.shape, height.shape, length.shape)
    merit, turns, chosen = np.zeros(shape), np.zeros(shape), np.zeros(shape, dtype=np.intp)
    for index in sorted(range(len(brief.wires)), key=lambda i: -brief.wires[i].diameter):
        wire = brief.wires[index]
        count = turns_allowed(brief, wire, width, height, length)
        value = goal.merit(count, length, wire)
        better = value > merit
        np.copyto(merit, value, where=better)
        np.copyto(turns, count, where=better)
        np.copyto(chosen, index, where=better)
    return Wiring(merit, turns, chosen)


def wiring_of(brief: Brief, windings: Windings, heights: Real) -> Wiring:
    """`best_wiring` of every winding of the grid at every height (H,), in shape (H, F)."""
    with np.errstate(divide="ignore", invalid="ignore"):
        length = np.where(windings.fits, windings.topology.turn_length(windings.envelope), np.inf)
    return best_wiring(brief, np.asarray(windings.envelope.width), heights[:, None, None, None], length)
