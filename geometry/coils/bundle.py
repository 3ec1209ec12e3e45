"""The envelope of a winding, and where the turns lie in the section of its bundle."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor, pi

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Real
from geometry.stock.wire import Wire


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """What a coil shape is laid out in; lengths in m, each may be an array (they broadcast).

    inner_radius, outer_radius: extreme radii of the winding, insulation included.
    width: of the bundle, seen along the shaft.
    sectors: how many equal sectors share the circle: one per coil, or one per leg of a serpentine.
    peg_radius: radius of the former's corners, of round coils and racetracks the least of their holes.
    """

    inner_radius: ArrayLike
    outer_radius: ArrayLike
    width: ArrayLike
    sectors: int
    peg_radius: ArrayLike

    @property
    def half_sector(self) -> float:
        """Half the angle of a sector, rad."""
        return pi / self.sectors

    @property
    def span(self) -> Real:
        """Outer minus inner radius, m; any shape."""
        return np.asarray(self.outer_radius, float) - np.asarray(self.inner_radius, float)

    @property
    def inset(self) -> Real:
        """A bundle and a peg: from the winding's edge to the middle of a corner of the former, m; any shape."""
        return np.asarray(self.width, float) + np.asarray(self.peg_radius, float)


def layer_count(turns: int, width: float, height: float, strands: int = 1) -> int:
    """Number of layers that makes the tightest cell of a strand as large as can be; the fewest of equally good.

    strands: of each turn, side by side in its layer; so below.
    """
    layers = np.arange(1, turns + 1)
    tightest = np.minimum(width / (strands * np.ceil(turns / layers)), height / layers)
    return int(np.argmax(tightest > tightest.max() * (1 - 1e-12))) + 1


def turns_per_layer(turns: int, layers: int) -> list[int]:
    """Turns in each layer from the magnets up: equal, or differing by one, the fuller layers spread evenly.

    The same from above as from below, but for one turn where an odd number meets an even number of layers.
    """
    lower = [floor(j * turns / layers + 0.5) for j in range((layers + 1) // 2)]
    middle = [turns // 2] if layers % 2 == 0 else []
    edges = [*lower, *middle, *(turns - below for below in reversed(lower))]
    return [high - low for low, high in pairwise(edges)]


def turn_positions(turns: int, width: float, height: float, strands: int = 1) -> tuple[Real, Real]:
    """Offsets across and heights above the bundle's lower face of all turns' centre lines, m, (turns,) each.

    Each turn stands in the middle of its own cell; the cells of a layer share the width equally, the layers
    share the height equally, so the turns fill the section evenly. Lower layers come first.
    """
    layers = layer_count(turns, width, height, strands)
    offsets: list[Real] = []
    levels: list[Real] = []
    for layer, count in enumerate(turns_per_layer(turns, layers)):
        offsets.append(((np.arange(count) + 0.5) / count - 0.5) * width)
        levels.append(np.full(count, (layer + 0.5) / layers * height))
    return np.concatenate(offsets), np.concatenate(levels)


def cell_clearance(turns: int, width: float, height: float, wire: Wire, pieces: int = 1) -> float:
    """What is left of the tightest strand's cell beside its insulation, m; below zero the wires would share space.

    pieces: equal parts of the height that the bundle is wound in, the turns shared among them.
    """
    turns, height = ceil(turns / pieces), height / pieces
    layers = layer_count(turns, width, height, wire.strands)
    fullest = wire.strands * ceil(turns / layers)
    return min(width / fullest, height / layers) - wire.overall_diameter


def max_turns(
    width: ArrayLike, height: ArrayLike, wire: Wire, fill_factor: float, pieces: int = 1, minimum: int = 1
) -> Real:
    """Largest number of turns that `width` × `height` (m, broadcast) takes: by fill factor, and in a square grid.

    pieces: see `cell_clearance`. minimum: wires that each piece must be high and wide; none fits in a smaller one.
    """
    width, height = np.asarray(width, float), np.asarray(height, float)
    slack = 1 + 1e-9
    by_fill = np.floor(fill_factor * width * height / wire.overall_area * slack)
    across = np.floor(width / wire.overall_diameter * slack)
    along = np.floor(height / pieces / wire.overall_diameter * slack)
    found = np.minimum(by_fill, pieces * np.floor(across / wire.strands) * along)
    return np.where(np.minimum(across, along) >= minimum, found, 0.0)
