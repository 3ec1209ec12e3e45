"""The skein that a serpentine is made from: wound with pull around two posts, then laid into the former's channel.

Wire pulled around the bends of a serpentine would take the short way through the bundle at every leg. But however
often the way of a turn bends, it turns once in all: at the offset u it is 2πu longer than in the middle of the
bundle, and so is a turn that lies u farther out around two posts. A skein wound as wide as the bundle holds for each
place of the bundle a turn of just that place's length.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from geometry.machine.layout import Layout

POST = 10e-3  # m, diameter of the posts: a dowel or a bolt
TIGHT = 0.7  # share of a section that round wire takes when pulled tight by hand; at most π/4 side by side; no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Skein:
    """Lengths in m. around: once around both posts. distance: from middle to middle of the posts.

    width: outward from the posts, as the bundle's. height: along the posts, pulled tight; in the channel it is looser.
    """

    post_diameter: float
    distance: float
    around: float
    width: float
    height: float

    def turn_length(self, offset: float) -> float:
        """Of a turn `offset` m from the middle of the skein's width, m."""
        return self.around + 2 * pi * (self.width / 2 + offset)


def wound_height(layout: Layout) -> float:
    """Height in m of what is wound in one piece: half a bundle when the phases are interleaved."""
    return layout.winding.height / layout.pieces


def lifted_off(layout: Layout) -> bool:
    """Whether a serpentine's bundle cannot stay in the channel that gave it its shape."""
    return layout.stacked or (layout.carrier.carriers > 1 and skein(layout) is not None)


def skein(layout: Layout) -> Skein | None:
    """The skein of one bundle, or of its larger half; None for coils that are wound on cores of their own."""
    if layout.topology.concentrated:
        return None
    winding = layout.winding
    turns = -(-winding.turns // layout.pieces)
    around = float(layout.topology.turn_length(layout.envelope, -winding.width / 2))
    post = min(POST, around / 10)
    return Skein(
        post_diameter=post,
        distance=(around - pi * post) / 2,
        around=around,
        width=winding.width,
        height=max(turns * winding.wire.overall_area / winding.width / TIGHT, winding.wire.overall_diameter),
    )
