"""The filaments of a machine: the centre line of every turn, pointed the way its voltage adds."""

from __future__ import annotations

from cmath import rect
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from geometry.coils.bundle import turn_positions
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
    placed = [(turn_positions(turns, winding.width, height), base) for turns, base in pieces if turns]
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
