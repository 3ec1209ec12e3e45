"""Colours of all plots, and the look of each coil shape.

Colours are Okabe and Ito's, told apart by the colour-blind; shape, hatching or a letter always says the same
again, so that nothing is lost in grey.
"""

from __future__ import annotations

from dataclasses import dataclass

from geometry.coils.topology import TOPOLOGIES

BLACK, GREY, PALE = "#1a1a1a", "#6b6b6b", "#d9d9d9"
ORANGE, SKY, GREEN = "#e69f00", "#56b4e9", "#009e73"
BLUE, VERMILION, PURPLE = "#0072b2", "#d55e00", "#cc79a7"


@dataclass(frozen=True, slots=True)
class Look:
    """How one kind of thing is drawn in every plot: colour, marker and hatching together."""

    color: str
    marker: str
    hatch: str


_LOOKS = (Look(GREEN, "o", ""), Look(ORANGE, "^", "///"), Look(PURPLE, "s", "\\\\\\"), Look(SKY, "D", "xxx"))


def machine_look(topology: str, phases: int) -> Look:
    """The look of a coil shape; with three phases dotted, and half way to white."""
    look = topology_look(topology)
    if phases == 1:
        return look
    paler = "".join(f"{(int(look.color[at : at + 2], 16) + 255) // 2:02x}" for at in (1, 3, 5))
    return Look(f"#{paler}", look.marker, f"{look.hatch}...")


def topology_look(name: str) -> Look:
    """The look of a coil shape; shapes beyond the fourth start over."""
    return _LOOKS[list(TOPOLOGIES).index(name) % len(_LOOKS)]
