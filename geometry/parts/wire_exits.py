"""Where the wire's ends leave a former: a start under the turns, beside core or island; a finish outside the bundle."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shapely import LineString
from shapely.affinity import rotate

from geometry.coils.series_order import SeriesCoil
from geometry.drawing.connections import beside_angle
from geometry.drawing.former_outlines import former_radius
from geometry.machine.layout import Layout
from geometry.parts.lettering import Shape
from geometry.parts.solids import disc

FIN = 2.5e-3  # m, least material between the holes of a start and a finish
APART = 0.2e-3  # m, from a hole to the core or the bundle beside it
ROOM = 0.1e-3  # m, by which a hole is at least wider than the wire


@dataclass(frozen=True, slots=True, kw_only=True)
class WireExit:
    """A hole for one end of a coil's wire: middle at `radius` (m) and `angle` (rad), diameter (m).

    notch: open to the rim of the former. away: which way around words beside it go, to keep clear of the coil's other
    hole.
    """

    coil: SeriesCoil
    finish: bool
    radius: float
    angle: float
    diameter: float
    notch: bool
    away: int

    def shape(self, *, inner: float = 0.0, outer: float = 0.0) -> Shape:
        """The hole, drawn out to `inner` and `outer` (m) where they lie beyond its middle."""
        ends = min(self.radius, inner or self.radius), max(self.radius, outer)
        hole: Shape = disc(self.radius, self.diameter / 2)
        if ends[1] > ends[0]:
            hole = LineString([(end, 0) for end in ends]).buffer(self.diameter / 2, quad_segs=16)
        return rotate(hole, self.angle, origin=(0, 0), use_radians=True)


def wire_exits(layout: Layout, exit_diameter: float, side: int = 0) -> list[WireExit]:
    """The ends of every coil that is wound on the former at once; the first start opens into the rim.

    exit_diameter: of a hole, m, unless bundle or wire call for another.
    """
    return [one for coil in wound_at_once(layout, side) for one in _exits(layout, exit_diameter, coil)]


def wound_at_once(layout: Layout, side: int = 0) -> list[SeriesCoil]:
    """The coils around the shaft; of a three-phase serpentine one bundle after the other is made on the same former."""
    return layout.order.by_phase(side)[:1] if layout.stacked else layout.order.around(side)


def _exits(layout: Layout, exit_diameter: float, coil: SeriesCoil) -> Iterator[WireExit]:
    winding = layout.winding
    minimum = winding.wire.overall_diameter + ROOM
    start = max(minimum, min(exit_diameter, winding.width - 2 * APART))
    finish = max(minimum, exit_diameter)
    outside = winding.outer_radius + APART + finish / 2
    aside = max(beside_angle(layout), ((start + finish) / 2 + FIN) / outside)
    yield WireExit(
        coil=coil, finish=False, radius=winding.outer_radius - winding.width + APART + start / 2, angle=coil.angle,
        diameter=start, notch=coil.first and coil.phase == 0, away=-coil.sense,
    )  # fmt: skip
    yield WireExit(
        coil=coil, finish=True, radius=outside, angle=coil.angle + coil.sense * aside, diameter=finish,
        notch=False, away=coil.sense,
    )  # fmt: skip


def plate_holes(layout: Layout, exits: list[WireExit]) -> list[Shape]:
    """What the ends take of the former's plate, m."""
    beyond = former_radius(layout) + 2e-3
    return [one.shape(outer=beyond if one.notch else 0.0) for one in exits]


def island_gaps(layout: Layout, exits: list[WireExit]) -> list[Shape]:
    """What the ends take of a serpentine's outer island, m: the notch, and a slot from channel to finish."""
    edge = layout.winding.outer_radius
    holes = zip(exits, plate_holes(layout, exits), strict=True)
    return [one.shape(inner=edge) if one.finish else hole for one, hole in holes]
