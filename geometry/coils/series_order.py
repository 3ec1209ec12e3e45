"""The coils as they are connected: axes, senses, names and series order, derived once for all that ask.

Seen from its own coil, the second side of a carrier is the mirror image of the first: angles and senses are reversed.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import degrees, pi

from geometry.coils.star_of_slots import PhaseCoils
from geometry.coils.topology import Topology


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

    @property
    def angle_deg(self) -> float:
        """Polar angle of its axis in degrees, from 0 to 360."""
        return round(degrees(self.angle), 9) % 360


@dataclass(frozen=True, slots=True, kw_only=True)
class SeriesOrder:
    """How the coils of a machine are connected.

    axes: polar angle of each coil's axis around one side, rad. senses: +1 or −1, the sense each is connected in.
    members: coils of each phase in series order, as indices into `axes` with their senses. letters: of the phases; one
    phase alone has none. sides: the coils of each phase in series order, of each side of the carrier that has coils.
    """

    axes: tuple[float, ...]
    senses: tuple[int, ...]
    members: tuple[PhaseCoils, ...]
    letters: tuple[str, ...]
    sides: tuple[tuple[tuple[SeriesCoil, ...], ...], ...]

    def by_phase(self, side: int = 0) -> list[SeriesCoil]:
        """All coils of one side, phase by phase in series order."""
        return [coil for members in self.sides[side] for coil in members]

    def around(self, side: int = 0) -> list[SeriesCoil]:
        """All coils of one side in the order in which they stand around the shaft, from the x axis."""
        return sorted(self.by_phase(side), key=lambda coil: round(coil.angle % (2 * pi), 9))

    def terminal(self, phase: int, end: str) -> str:
        """A phase's end in words, such as "A START"; "START" when there is only one phase."""
        return f"{self.letters[phase]} {end}".strip()


@lru_cache(maxsize=256)
def series_order(topology: Topology, sectors: int, poles: int, phases: int, sides: int) -> SeriesOrder:
    """The connections of coils that share the circle with `sectors` sectors, on one or both sides of a carrier.

    Raises ValueError for coils and poles that cannot be connected in so many phases.
    """
    axes, members = topology.joined(sectors, poles, phases)
    senses = dict(coil for phase in members for coil in phase)
    letters = ("A", "B", "C") if phases > 1 else ("",)
    numbered = phases == 1 or len(axes) * sides > phases
    return SeriesOrder(
        axes=axes,
        senses=tuple(senses[index] for index in range(len(axes))),
        members=members,
        letters=letters,
        sides=tuple(
            tuple(
                _phase_series(phase, side, axes, coils, letter, numbered=numbered)
                for phase, (coils, letter) in enumerate(zip(members, letters, strict=True))
            )
            for side in range(sides)
        ),
    )


def _phase_series(
    phase: int, side: int, axes: tuple[float, ...], members: PhaseCoils, letter: str, *, numbered: bool
) -> tuple[SeriesCoil, ...]:
    view, before = 1 - 2 * side, side * len(members)
    return tuple(
        SeriesCoil(
            phase=phase,
            number=before + place,
            side=side,
            angle=view * axes[index],
            sense=view * sense,
            name=f"{letter}{before + place}" if numbered else letter,
            first=place == 1,
            last=place == len(members),
        )
        for place, (index, sense) in enumerate(members, start=1)
    )
