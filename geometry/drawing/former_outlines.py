"""What stands on the former beside the wire, seen along the shaft: cores of coils, the islands of a serpentine."""

from __future__ import annotations

from geometry.curves.curve import rotated_curve
from geometry.drawing.primitives import Circle, Path, outlines
from geometry.machine.layout import Layout

FLANGE = 5e-3  # m, by which the former reaches beyond the winding: room for holes, words and the outer island


def former_radius(layout: Layout) -> float:
    """Of the former's rim, m; it may lie beyond the carrier's."""
    return layout.winding.outer_radius + FLANGE


def former_outlines(layout: Layout, side: int = 0) -> list[Path | Circle]:
    """Closed outlines, exact, m: each core; of a serpentine rim, outer and inner edge of the channel, and bore.

    The two islands of a serpentine leave a channel that is the bundle: nothing else is open between rim and bore. The
    bundles of a three-phase serpentine take their shape one after another in the same channel, that of the first.
    """
    half, turn = layout.winding.width / 2, layout.topology.turn
    if layout.topology.concentrated:
        if float(layout.topology.clearance(layout.envelope).get("hole", 1.0)) + layout.winding.peg_radius <= 0:
            return []  # the bundle leaves no hole
        hole = turn(layout.envelope, -half)
        return outlines(rotated_curve(hole, coil.angle) for coil in layout.order.around(side))
    rim, bore = Circle(0j, former_radius(layout)), Circle(0j, layout.space.bore_radius)
    return [rim, *outlines(turn(layout.envelope, edge) for edge in (half, -half)), bore]
