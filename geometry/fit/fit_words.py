"""What the fit rules ask for, in words: by a rule's name its key and what must be at least or at most."""

from __future__ import annotations

from dataclasses import dataclass

FILL = "the share of the bundle's section that insulated wire takes must be at most"
CELL = "the space of one turn in the bundle must be at least the insulated wire's diameter of"


@dataclass(frozen=True, slots=True)
class FitRule:
    """A rule in words, about a key of the file; minimum: whether the value must be at least the limit."""

    key: str
    text: str
    minimum: bool = True


RULES = {
    "pocket_neighbour": FitRule(
        "carrier.count", "the wall between neighbouring magnet pockets must be at least"
    ),
    "pocket_rim": FitRule("carrier.pitch_radius_mm", "the wall from magnet pocket to rim must be at least"),
    "pocket_bore": FitRule("carrier.pitch_radius_mm", "the wall from magnet pocket to bore must be at least"),
    "winding_bore": FitRule(
        "winding.inner_radius_mm", "the winding's inner radius must be at least the bore's"
    ),
    "winding_rim": FitRule(
        "winding.outer_radius_mm", "the winding's outer radius must be at most the disc's", False
    ),
    "inner_turn": FitRule(
        "winding.inner_radius_mm",
        "two legs meet at the inner corners: half the room between them must be at least",
    ),
    "between_bends": FitRule(
        "winding.width_mm",
        "neighbouring bends meet at the inner radius: half the room between them must be at least",
    ),
    "leg": FitRule(
        "winding.outer_radius_mm",
        "no straight leg is left between the corners: the room for it must be at least",
    ),
    "inner_core": FitRule(
        "winding.width_mm",
        "a coil's two legs meet at its inner corners: half the room between them must be at least",
    ),
    "neighbour": FitRule(
        "winding.outer_radius_mm", "neighbouring coils meet: half the room between them must be at least"
    ),
    "hole": FitRule(
        "winding.width_mm", "no peg fits in the coil's hole: its radius less the peg's must be at least"
    ),
}
