"""How hard a winding is to wind, from what can be counted: coils, joints, bends and crossings.

One score in hand motions, of about two seconds each: a pull of the wire around a bend, or a turn of the crank. The
worth of a coil, a joint and a crossing in motions is our estimate, not taken from a source; the counts stand beside
the score, so that anyone can weigh them otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass

from geometry.curves.curve import Arc
from geometry.machine.layout import Layout

COIL = 30  # motions: set the former up, tie the coil, take it off and lay it in place
JOINT = 30  # strip, twist, solder, sleeve
CROSSING = 10  # sleeve the wire that crosses a coil's own start, and press it flat


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """Counts of a whole machine. turns: of all coils together; bends_per_turn: of one turn of one coil, 0 when round;
    joints: between coils in series; crossings: wires that cross a coil's own start."""

    coils: int
    turns: int
    bends_per_turn: int
    joints: int
    crossings: int

    @property
    def motions(self) -> int:
        """The score: hand motions."""
        winding = self.turns * (1 + self.bends_per_turn)
        return winding + self.coils * COIL + self.joints * JOINT + self.crossings * CROSSING


def winding_effort(layout: Layout) -> Effort:
    """The counts of a layout. A turn has a bend for each rounded corner of its path; a circular coil has none."""
    topology, sectors = layout.topology, layout.envelope.sectors
    halves = topology.halves(sectors)
    half_turn = topology.half_turn(layout.envelope, 0.0)
    bends = sum(isinstance(stretch, Arc) and not stretch.about_shaft for stretch in half_turn)
    return Effort(
        coils=layout.coils,
        turns=layout.coils * layout.winding.turns,
        bends_per_turn=halves * bends if topology.ring is None else 0,
        joints=layout.coils - layout.phases,
        crossings=sum(sense < 0 for sense in layout.order.senses),
    )
