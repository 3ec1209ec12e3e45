"""The coil shapes by name. A new shape is one new file and one new row here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import pi
from typing import ClassVar

import numpy as np
from numpy.typing import ArrayLike

from geometry.coils import racetrack, round_coil, serpentine, wedge
from geometry.coils.bundle import Envelope
from geometry.coils.star_of_slots import PhaseCoils, combinations, star_of_slots
from geometry.curves.curve import Corner, Curve, Line, Real, curve_length, mirrored_curve, reversed_curve

CornerRule = Callable[[Envelope, ArrayLike], Corner]
Ring = Callable[[ArrayLike, ArrayLike], Curve]


def loop(half_turn: Curve, envelope: Envelope) -> Curve:
    """One turn of a coil that its axis, the x axis, mirrors: clockwise, from a half turn."""
    del envelope
    return half_turn + reversed_curve(mirrored_curve(half_turn))


@dataclass(frozen=True, slots=True, kw_only=True)
class Topology:
    """How coils of one shape, one in each sector, are laid out, in functions of an `Envelope` and an offset, m.

    Offsets are those of turns in the bundle.
    half_turn: from the loop's inner axis along the leg at positive angles to its outer axis.
    closed_turn: a whole turn, clockwise, from its half.
    clearance: what is left before the shape stops fitting, per rule, in m; any shape.
    corners: inner and outer corner rule of a shape whose two ends know nothing of each other, else None.
    ring: of a circular coil, the half turn about a centre (m from the shaft) of a radius (m), else None.
    concentrated: whether each sector holds a coil of its own.
    """

    name: str
    half_turn: Callable[[Envelope, ArrayLike], Curve]
    closed_turn: Callable[[Curve, Envelope], Curve] = loop
    clearance: Callable[[Envelope], dict[str, Real]]
    corners: tuple[CornerRule, CornerRule] | None = None
    ring: Ring | None = None
    concentrated: ClassVar[bool] = True

    @property
    def bends_about_pegs(self) -> bool:
        """Whether the former's corners shape the coil; else they are only the least that its hole may be."""
        return self.corners is not None

    def coils(self, sectors: int) -> int:
        """Number of coils at one level when the circle is shared by `sectors` sectors."""
        return sectors

    def halves(self, sectors: int) -> int:
        """Number of half turns, all alike, in one turn of one coil."""
        del sectors
        return 2

    def half_turns(self, sectors: int) -> int:
        """Number of half turns, all alike, in one turn of every coil at one level."""
        return self.halves(sectors) * self.coils(sectors)

    def levels(self, phases: int) -> int:
        """Number of levels, one above the other, that so many phases take."""
        del phases
        return 1

    def coil_counts(self, poles: int, phases: int) -> list[int] | list[None]:
        """Numbers of coils to choose from, of all phases together; None where the poles alone decide."""
        return combinations(poles, phases) if phases > 1 else [None]

    def joined(self, sectors: int, poles: int, phases: int) -> tuple[tuple[float, ...], tuple[PhaseCoils, ...]]:
        """Polar angles of the coils' axes, rad, and the coils of each phase in series order.

        Raises ValueError for coils and poles that cannot be connected in so many phases.
        """
        return tuple(sector_axes(sectors)), star_of_slots(sectors, poles, phases)

    def turn(self, envelope: Envelope, offset: float) -> Curve:
        """One closed turn of the coil whose axis is the x axis, clockwise, in m."""
        return self.closed_turn(self.half_turn(envelope, offset), envelope)

    def turn_length(self, envelope: Envelope, offset: ArrayLike = 0.0) -> Real:
        """Length in m of one turn of every coil together, at `offset` (broadcasts)."""
        return self.half_turns(envelope.sectors) * curve_length(self.half_turn(envelope, offset))


class WaveTopology(Topology):
    """How a bundle is laid out that runs once around, a leg in each sector; each phase has one at its own level."""

    __slots__ = ()
    concentrated: ClassVar[bool] = False

    def coils(self, sectors: int) -> int:
        """One."""
        del sectors
        return 1

    def halves(self, sectors: int) -> int:
        """Number of half turns, all alike, in one turn: one for each leg."""
        return sectors

    def levels(self, phases: int) -> int:
        """One for each phase."""
        return phases

    def coil_counts(self, poles: int, phases: int) -> list[int] | list[None]:
        """None: the poles decide."""
        del poles, phases
        return [None]

    def joined(self, sectors: int, poles: int, phases: int) -> tuple[tuple[float, ...], tuple[PhaseCoils, ...]]:
        """The phases' bundles are turned by a third of a pole pair, rad; each is a phase by itself."""
        del sectors
        axes = tuple(2 * pi * phase / (phases * (poles // 2)) for phase in range(phases))
        return axes, tuple(((phase, 1),) for phase in range(phases))


def _legged(inner: CornerRule, outer: CornerRule, inner_axis: Callable[[Envelope], float]):
    def half_turn(envelope: Envelope, offset: ArrayLike) -> Curve:
        low, high = inner(envelope, offset), outer(envelope, offset)
        inwards = (low.fillet(), low.shaft_arc(inner_axis(envelope)))
        leg = Line(low.tangent_point, high.tangent_point)
        return (*reversed_curve(inwards), leg, high.fillet(), high.shaft_arc(0.0))

    return half_turn


SERPENTINE = WaveTopology(
    name="serpentine",
    half_turn=_legged(serpentine.inner_corner, serpentine.outer_corner, serpentine.inner_axis),
    closed_turn=serpentine.closed_turn,
    clearance=serpentine.clearance,
    corners=(serpentine.inner_corner, serpentine.outer_corner),
)
WEDGE = Topology(
    name="wedge",
    half_turn=_legged(wedge.inner_corner, wedge.outer_corner, wedge.inner_axis),
    clearance=wedge.clearance,
    corners=(wedge.inner_corner, wedge.outer_corner),
)
ROUND = Topology(
    name="round",
    half_turn=round_coil.half_turn,
    clearance=round_coil.clearance,
    ring=round_coil.ring,
)
RACETRACK = Topology(
    name="racetrack",
    half_turn=racetrack.half_turn,
    clearance=racetrack.clearance,
)

TOPOLOGIES: Mapping[str, Topology] = {t.name: t for t in (SERPENTINE, WEDGE, ROUND, RACETRACK)}
USUAL_TOPOLOGIES = ("serpentine", "wedge", "round")  # tried where a brief names none


def sector_axes(sectors: int) -> list[float]:
    """Polar angles of the sectors' axes, rad, the first on the x axis."""
    return [float(angle) for angle in np.arange(sectors) * 2 * pi / sectors]
