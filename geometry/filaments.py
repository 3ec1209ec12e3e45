"""The filaments of a machine: the centre line of every turn, pointed the way its voltage adds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from geometry.curve import Curve, polyline, reversed_curve, rotated_curve
from geometry.layout import Layout
from geometry.section import turn_positions
from geometry.topology import sector_axes

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
    """Polar angle of each coil's axis in rad, and +1 or −1: neighbours are connected in opposite sense."""
    if not layout.topology.per_sector:
        return [(0.0, 1)]
    return [(angle, 1 - 2 * (index % 2)) for index, angle in enumerate(sector_axes(layout.carrier.count))]


def phase_filaments(layout: Layout) -> Iterator[Filament]:
    """Every turn of every coil in series order, lowest layer first."""
    winding = layout.winding
    offsets, levels = turn_positions(winding.turns, winding.width, winding.height)
    turns = [layout.topology.turn(layout.envelope, float(offset)) for offset in offsets]
    for coil, (angle, sense) in enumerate(coil_senses(layout)):
        for index, (turn, level) in enumerate(zip(turns, levels, strict=True)):
            placed = rotated_curve(turn, angle)
            curve = placed if sense > 0 else reversed_curve(placed)
            yield Filament(curve, layout.air_gap + float(level), coil, index)


def filaments_document(layout: Layout) -> dict[str, Any]:
    """The filaments file as plain values: magnets and, per phase, one closed polyline per turn in mm."""
    magnet, carrier = layout.carrier.magnet, layout.carrier
    magnets = [
        {
            "shape": magnet.shape,
            "diameter_mm": magnet.diameter * 1e3,
            "thickness_mm": magnet.thickness * 1e3,
            "polarization_T": magnet.polarization,
            "center_mm": [*_point_mm(carrier.pitch_radius, angle), -magnet.thickness / 2 * 1e3],
            "polarity": 1 - 2 * (index % 2),
        }
        for index, angle in enumerate(sector_axes(carrier.count))
    ]
    phase = [
        [[round(z.real * 1e3, 6), round(z.imag * 1e3, 6), round(filament.height * 1e3, 6)] for z in points]
        for filament in phase_filaments(layout)
        for points in [polyline(filament.curve, step=STEP, sagitta=SAGITTA).tolist()]
    ]
    return {"speed_rpm": layout.speed_rpm, "magnets": magnets, "phases": [phase]}


def _point_mm(radius: float, angle: float) -> list[float]:
    from cmath import rect

    point = rect(radius * 1e3, angle)
    return [round(point.real, 9), round(point.imag, 9)]
