"""The coils as they are connected: names, series order, and the way each is wound, seen from its own side.

Seen from its own coil, the second side of a carrier is the mirror image of the first: angles and senses are reversed.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees, pi

from geometry.machine.filaments import coil_senses, phase_coils
from geometry.machine.layout import Layout

LETTERS = "ABC"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeriesCoil:
    """One coil in the series order of its phase, as it is seen from its own side of the carrier.

    phase: from 0. number: in the phase, from 1, on over both sides. side: 0, or 1 behind the carrier. angle: polar
    angle of its axis, rad. sense: +1 when it is wound clockwise, −1 when counter-clockwise. first, last: on its side.
    """

    phase: int
    number: int
    side: int
    angle: float
    sense: int
    name: str
    first: bool
    last: bool


def phase_letter(layout: Layout, phase: int) -> str:
    """A, B or C; nothing when there is only one phase."""
    return LETTERS[phase] if layout.phases > 1 else ""


def series(layout: Layout, side: int = 0) -> list[list[SeriesCoil]]:
    """The coils of each phase on one side, in series order."""
    return [_phase_series(layout, phase, side) for phase in range(layout.phases)]


def side_coils(layout: Layout, side: int = 0) -> list[SeriesCoil]:
    """All coils of one side, phase by phase in series order."""
    return [coil for members in series(layout, side) for coil in members]


def coils_around(layout: Layout, side: int = 0) -> list[SeriesCoil]:
    """All coils of one side in the order in which they stand around the shaft, from the x axis."""
    return sorted(side_coils(layout, side), key=lambda coil: round(coil.angle % (2 * pi), 9))


def coil_angle_deg(coil: SeriesCoil) -> float:
    """Polar angle of a coil's axis in degrees, from 0 to 360."""
    return round(degrees(coil.angle), 9) % 360


def stack_layers(layout: Layout, phase: int) -> tuple[int, ...]:
    """Which layers of a three-phase serpentine's stack are a phase's, counted from 1 at the magnets up."""
    if layout.topology.concentrated or layout.phases == 1:
        return ()
    upper = (2 * layout.phases - phase,) if layout.winding.stacking == "interleaved" else ()
    return (phase + 1, *upper)


def terminal(layout: Layout, phase: int, end: str) -> str:
    """A phase's end in words, such as "A START"; "START" when there is only one phase."""
    return f"{phase_letter(layout, phase)} {end}".strip()


def _phase_series(layout: Layout, phase: int, side: int) -> list[SeriesCoil]:
    axes, members = coil_senses(layout), phase_coils(layout)[phase]
    view = 1 - 2 * side
    return [
        SeriesCoil(
            phase=phase,
            number=number + side * len(members),
            side=side,
            angle=view * axes[index][0],
            sense=view * sense,
            name=_name(layout, phase, number + side * len(members)),
            first=number == 1,
            last=number == len(members),
        )
        for number, (index, sense) in enumerate(members, start=1)
    ]


def _name(layout: Layout, phase: int, number: int) -> str:
    if layout.phases > 1 and layout.coils == layout.phases:
        return phase_letter(layout, phase)
    return f"{phase_letter(layout, phase)}{number}"
