"""The filaments of a machine: the centre line of every turn, pointed so that voltages add; the wire beyond turns.

How much wire that is has one definition for the search, which must leave room for it on the spool, the winding card and
the list of parts. Allowances are common practice of the bench, without source.
"""

from __future__ import annotations

from cmath import rect
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import pi
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from geometry.coils.bundle import turn_positions
from geometry.coils.star_of_slots import PhaseCoils
from geometry.coils.topology import sector_axes
from geometry.curves.curve import Curve, Real, polyline, reversed_curve, rotated_curve
from geometry.machine.layout import Layout

STEP = 0.5e-3  # m, longest chord of an exported polyline
SAGITTA = 1e-6  # m, most that a chord leaves its arc


@dataclass(frozen=True, slots=True)
class Filament:
    """One turn: its closed curve, its height above the magnet faces (m), its coil and its turn number."""

    curve: Curve
    height: float
    coil: int
    turn: int


@lru_cache(maxsize=64)
def phase_turns(layout: Layout, phase: int = 0) -> tuple[Real, Real]:
    """A phase's turns: offsets across the bundle, heights above the lower face of all bundles, m, (turns,) each."""
    winding, height = layout.winding, layout.winding.height / layout.pieces
    level = min(phase, layout.levels - 1)
    bases = [height * at for at, other in enumerate(layout.layers) if other == level]
    pieces = zip(layout.piece_turns, bases, strict=True)
    section = winding.width, height, winding.wire.strands
    placed = [(turn_positions(turns, *section), base) for turns, base in pieces if turns]
    offsets = np.concatenate([offsets for (offsets, _), _ in placed])
    levels = np.concatenate([base + levels for (_, levels), base in placed])
    offsets.flags.writeable = levels.flags.writeable = False  # handed on to many
    return offsets, levels


def phase_filaments(layout: Layout, phase: int = 0) -> Iterator[Filament]:
    """Every turn of every coil of a phase in series order, lowest layer first; then the other side's, if any."""
    offsets, levels = phase_turns(layout, phase)
    turns = [layout.topology.turn(layout.envelope, float(offset)) for offset in offsets]
    levels = layout.air_gap + levels
    order = layout.order
    for side in range(layout.sides):
        heights = levels if side == 0 else -layout.carrier.magnet.thickness - levels
        for coil, sense in order.members[phase]:
            for index, (turn, height) in enumerate(zip(turns, heights, strict=True)):
                placed = rotated_curve(turn, order.axes[coil])
                curve = placed if sense > 0 else reversed_curve(placed)
                yield Filament(curve, float(height), coil + side * len(order.axes), index)


def filaments_document(layout: Layout, images: float = 1.0) -> dict[str, Any]:
    """The filaments file as plain values: magnets and, per phase, one closed polyline per turn in mm.

    With steel plates the magnets' images are listed too: the field between the faces is that of all of them. images:
    share of the images that is there, below 1 where the plates saturate.
    """
    magnet, carrier, stack = layout.carrier.magnet, layout.carrier, layout.stack(images)
    magnets = [
        {
            "shape": magnet.shape,
            **magnet.sizes,
            "polarization_T": polarization,
            "center_mm": [*_point_mm(carrier.pitch_radius, angle), round(middle * 1e3, 9)],
            "polarity": 1 - 2 * (index % 2),
        }
        for middle, polarization in zip(stack.middles, stack.polarizations, strict=True)
        for index, angle in enumerate(sector_axes(carrier.count))
    ]
    phases = [[_points_mm(filament) for filament in phase_filaments(layout, p)] for p in range(layout.phases)]
    return {"speed_rpm": layout.speed_rpm, "magnets": magnets, "phases": phases}


def _points_mm(filament: Filament) -> list[list[float]]:
    points = polyline(filament.curve, step=STEP, sagitta=SAGITTA) * 1e3
    height = round(filament.height * 1e3, 6)
    return [[round(z.real, 6), round(z.imag, 6), height] for z in points.tolist()]


def _point_mm(radius: float, angle: float) -> list[float]:
    point = rect(radius * 1e3, angle)
    return [round(point.real, 9), round(point.imag, 9)]


PHASE_END = 0.2  # m, left at the start and at the finish of a phase on each side
JOINT_ROOM = 0.04  # m, left at each end that is joined, beside half the way to the other: to strip and to hold
SPARE = 0.02  # share of turns, ends and joints together that is kept: what a slip or a broken end costs


@dataclass(frozen=True, slots=True, kw_only=True)
class Leads:
    """What is led out of a phase's coils, whatever their size.

    sides: of the carrier that have coils. joints: between the phase's coils. step: greatest angle about the shaft
    from a coil to the next one of its phase, rad. pieces: that each bundle is wound in, see `Layout.pieces`.
    """

    sides: int
    joints: int
    step: float
    pieces: int

    def joint_end(self, outer_radius: ArrayLike) -> Real:
        """Left at each end of a coil that is joined to the next, m, a scalar: half the longest way and room to join."""
        reach = np.asarray(outer_radius, float) * self.step / 2
        return reach + JOINT_ROOM if self.joints else 0.0 * reach

    def phase(self, outer_radius: ArrayLike) -> Real:
        """Wire of one phase beyond its turns, m, for a winding that reaches to `outer_radius` (m; broadcasts)."""
        inside = 2 * JOINT_ROOM * (self.pieces - 1)
        return self.sides * (2 * PHASE_END + inside) + 2 * self.joints * self.joint_end(outer_radius)


def leads_among(members: PhaseCoils, sectors: int, sides: int, pieces: int) -> Leads:
    """Leads of a phase that has the coils `members` of those that share the circle with `sectors` sectors."""
    steps = [(after - before) % sectors for (before, _), (after, _) in pairwise(members)]
    joints = sides * (len(members) - 1)
    return Leads(sides=sides, joints=joints, step=2 * pi * max(steps, default=0) / sectors, pieces=pieces)


def leads(layout: Layout) -> Leads:
    """Leads of each phase of a layout."""
    return leads_among(layout.order.members[0], layout.sectors, layout.sides, layout.pieces)


def phase_ends(layout: Layout) -> float:
    """Wire of one phase beyond its turns, m: at its ends on each side, and at each joint between."""
    return float(leads(layout).phase(layout.winding.outer_radius))


def spare(length: float) -> float:
    """What is kept beyond `length` m of turns and ends, m."""
    return length * SPARE


def without_spare(length: float) -> float:
    """What turns and ends together may take of `length` m at hand, m."""
    return length / (1 + SPARE)
