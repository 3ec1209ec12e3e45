"""Turns and wire for a geometry: they follow from section, turn length and limits alone, whatever the magnets."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from geometry.coils.bundle import Envelope, max_turns
from geometry.curves.curve import Real, Whole
from geometry.machine.filaments import without_spare
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.scan.choices import Family, Grid, leads_of
from optimizer.scan.kernel import Windings


@dataclass(frozen=True, slots=True)
class Wiring:
    """The best wire for each geometry: the goal's merit (0 where none fits), turns, index in the list; any shape."""

    merit: Real
    turns: Real
    wire: Whole


@dataclass(frozen=True, slots=True, kw_only=True)
class Bundle:
    """What wire goes into: the bundle of each coil of a phase. Lengths in m; they broadcast.

    width, height: of its section. turn: length of one turn of every coil of the phase, infinite for what does not fit.
    ends: wire of the phase beyond its turns. pieces: that each bundle is wound in. phases: that share the wire at hand.
    """

    width: Real
    height: Real
    turn: Real
    ends: Real
    pieces: int = 1
    phases: int = 1


def bundle_of(family: Family, envelope: Envelope, height: ArrayLike, turn: Real | None = None) -> Bundle:
    """The bundle that a family has in an envelope. height, and the phase's turn if known: m; they broadcast."""
    return Bundle(
        width=np.asarray(envelope.width, float),
        height=np.asarray(height, float),
        turn=family.phase_turn_length(envelope) if turn is None else turn,
        ends=leads_of(family).phase(envelope.outer_radius),
        pieces=family.pieces,
        phases=family.phases,
    )


def wire_for_turns(brief: Brief, wire: Wire, bundle: Bundle) -> Real:
    """Most m, any shape, that a phase's turns may take of `wire`, strands counted once.

    That is what is at hand less ends, joints and spare, or what the resistance allows.
    """
    length = brief.length_of(wire)
    shared = bundle.phases * wire.strands
    by_length = np.inf if length is None else without_spare(length) / shared - bundle.ends
    by_resistance = np.inf if brief.resistance is None else brief.resistance / wire.resistance_per_metre
    return np.maximum(np.minimum(by_length, by_resistance), 0.0)


def turns_allowed(brief: Brief, wire: Wire, bundle: Bundle) -> Real:
    """Most whole turns per coil of `wire` by section, least layers, wire length and resistance (broadcasts)."""
    by_wire = np.floor(wire_for_turns(brief, wire, bundle) / bundle.turn * (1 + 1e-9))
    by_section = max_turns(
        bundle.width, bundle.height, wire, brief.fill_factor, bundle.pieces, brief.least_layers
    )
    return np.minimum(by_section, by_wire)


def best_wiring(brief: Brief, bundle: Bundle) -> Wiring:
    """The best wire and turns for each geometry; of wires that serve the goal equally, the thickest."""
    goal = GOALS[brief.goal]
    shape = np.broadcast_shapes(bundle.width.shape, bundle.height.shape, bundle.turn.shape)
    merit, turns, chosen = np.zeros(shape), np.zeros(shape), np.zeros(shape, dtype=np.intp)
    for index in sorted(range(len(brief.wires)), key=lambda i: _thickest(brief.wires[i])):
        wire = brief.wires[index]
        count = turns_allowed(brief, wire, bundle)
        value = goal.merit(count, bundle.turn, wire, bundle.phases)
        better = value > merit
        np.copyto(merit, value, where=better)
        np.copyto(turns, count, where=better)
        np.copyto(chosen, index, where=better)
    return Wiring(merit, turns, chosen)


def _thickest(wire: Wire) -> tuple[float, int]:
    """To sort wires by: the most copper first, in the fewest strands."""
    return -wire.copper_area, wire.strands


def wiring_of(brief: Brief, family: Family, windings: Windings, grid: Grid) -> Wiring:
    """`best_wiring` of every winding of the grid at every height, in shape (H, F)."""
    heights = grid.heights / family.stacked
    with np.errstate(divide="ignore", invalid="ignore"):
        bundle = bundle_of(family, windings.envelope, heights[:, None, None, None])
    return best_wiring(brief, replace(bundle, turn=np.where(windings.fits, bundle.turn, np.inf)))
