"""The coil shapes by name. A new shape is one new file and one new row here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import ArrayLike

from geometry.coils import round_coil, serpentine, wedge
from geometry.coils.envelope import Envelope
from geometry.curves.corner import Corner
from geometry.curves.curve import Curve, Line, Real, curve_length, reversed_curve

CornerRule = Callable[[Envelope, ArrayLike], Corner]


@dataclass(frozen=True, slots=True, kw_only=True)
class Topology:
    """How a coil shape is laid out, in functions of an `Envelope` and of a turn's offset in the bundle.

    half_turn: from the loop's inner axis along the leg at positive angles to its outer axis.
    closed_turn: a whole turn, clockwise, from its half.
    clearance: what is left before the shape stops fitting, per rule, in m.
    corners: inner and outer corner rule for shapes with straight legs, else None.
    concentrated: whether each sector holds a coil of its own (else one coil runs through all of them: a wave winding).
    """

    name: str
    half_turn: Callable[[Envelope, ArrayLike], Curve]
    closed_turn: Callable[[Curve, Envelope], Curve]
    clearance: Callable[[Envelope], dict[str, Real]]
    corners: tuple[CornerRule, CornerRule] | None
    concentrated: bool

    def coils(self, sectors: int) -> int:
        """Number of coils when the circle is shared by `sectors` sectors."""
        return sectors if self.concentrated else 1

    def half_turns(self, sectors: int) -> int:
        """Number of half turns, all alike, in one turn of every coil."""
        return 2 * sectors if self.concentrated else sectors

    def turn(self, envelope: Envelope, offset: float) -> Curve:
        """One closed turn of the coil whose axis is the x axis, clockwise, in m."""
        return self.closed_turn(self.half_turn(envelope, offset), envelope)

    def turn_length(self, envelope: Envelope, offset: ArrayLike = 0.0) -> Real:
        """Length in m of one turn of every coil together, at `offset` (broadcasts)."""
        return self.half_turns(envelope.sectors) * curve_length(self.half_turn(envelope, offset))


def _legged(inner: CornerRule, outer: CornerRule, inner_axis: Callable[[Envelope], float]):
    def half_turn(envelope: Envelope, offset: ArrayLike) -> Curve:
        low, high = inner(envelope, offset), outer(envelope, offset)
        inwards = (low.fillet(), low.shaft_arc(inner_axis(envelope)))
        leg = Line(low.tangent_point, high.tangent_point)
        return (*reversed_curve(inwards), leg, high.fillet(), high.shaft_arc(0.0))

    return half_turn


SERPENTINE = Topology(
    name="serpentine",
    half_turn=_legged(serpentine.inner_corner, serpentine.outer_corner, serpentine.inner_axis),
    closed_turn=serpentine.closed_turn,
    clearance=serpentine.clearance,
    corners=(serpentine.inner_corner, serpentine.outer_corner),
    concentrated=False,
)
WEDGE = Topology(
    name="wedge",
    half_turn=_legged(wedge.inner_corner, wedge.outer_corner, wedge.inner_axis),
    closed_turn=wedge.closed_turn,
    clearance=wedge.clearance,
    corners=(wedge.inner_corner, wedge.outer_corner),
    concentrated=True,
)
ROUND = Topology(
    name="round",
    half_turn=round_coil.half_turn,
    closed_turn=round_coil.closed_turn,
    clearance=round_coil.clearance,
    corners=None,
    concentrated=True,
)

TOPOLOGIES: Mapping[str, Topology] = {t.name: t for t in (SERPENTINE, WEDGE, ROUND)}


def sector_axes(sectors: int) -> list[float]:
    """Polar angles of the sectors' axes, rad, the first on the x axis."""
    return [float(angle) for angle in np.arange(sectors) * 2 * pi / sectors]
