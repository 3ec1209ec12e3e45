"""The filaments of a machine: the centre line of every turn, pointed the way its voltage adds."""

from __future__ import annotations

from cmath import rect
from collections.abc import Iterator
from dataclasses import dataclass
from math import pi
from typing import Any

import numpy as np

from geometry.coils.bundle import turn_positions
from geometry.coils.star_of_slots import PhaseCoils, star_of_slots
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


def coil_senses(layout: Layout) -> list[tuple[float, int]]:
    """Polar angle of each coil's axis in rad, and +1 or −1 for the sense it is connected in, around one side."""
    if not layout.topology.concentrated:
        return [(shift, 1) for shift in _serpentine_shifts(layout)]
    axes, senses = sector_axes(layout.sectors), dict(m for phase in phase_coils(layout) for m in phase)
    return [(angle, senses[index]) for index, angle in enumerate(axes)]


def phase_coils(layout: Layout) -> tuple[PhaseCoils, ...]:
    """Coils of each phase in series order, as (index into `coil_senses`, sense)."""
    if not layout.topology.concentrated:
        return tuple(((phase, 1),) for phase in range(layout.phases))
    return star_of_slots(layout.sectors, layout.carrier.count, layout.phases)


def _serpentine_shifts(layout: Layout) -> list[float]:
    """Polar angles by which the phases' bundles are turned: a third of a pole pair apart, rad."""
    return [2 * pi * phase / (layout.phases * layout.carrier.pole_pairs) for phase in range(layout.phases)]


def phase_turns(layout: Layout, phase: int = 0) -> tuple[Real, Real]:
    """A phase's turns: offsets across the bundle, heights above the lower face of all bundles, m, (turns,) each."""
    winding = layout.winding
    if layout.pieces == 1:
        offsets, levels = turn_positions(winding.turns, winding.width, winding.height)
        base = 0.0 if layout.topology.concentrated else phase * winding.height
        return offsets, base + levels
    half, lower = winding.height / 2, (winding.turns + 1) // 2
    parts = [(lower, phase * half), (winding.turns - lower, (2 * layout.phases - 1 - phase) * half)]
    placed = [(turn_positions(n, winding.width, half), base) for n, base in parts if n]
    offsets = np.concatenate([offsets for (offsets, _), _ in placed])
    return offsets, np.concatenate([base + levels for (_, levels), base in placed])


def phase_filaments(layout: Layout, phase: int = 0) -> Iterator[Filament]:
    """Every turn of every coil of a phase in series order, lowest layer first; then the other side's, if any."""
    offsets, levels = phase_turns(layout, phase)
    turns = [layout.topology.turn(layout.envelope, float(offset)) for offset in offsets]
    levels = layout.air_gap + levels
    axes = coil_senses(layout)
    for side in range(layout.sides):
        heights = levels if side == 0 else -layout.carrier.magnet.thickness - levels
        for coil, sense in phase_coils(layout)[phase]:
            for index, (turn, height) in enumerate(zip(turns, heights, strict=True)):
                placed = rotated_curve(turn, axes[coil][0])
                curve = placed if sense > 0 else reversed_curve(placed)
                yield Filament(curve, float(height), coil + side * len(axes), index)


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
