"""The wire that a winding takes beyond its turns: its ends, the joints between its coils, and what is kept to spare.

One definition for whatever counts wire: the search, which must leave room for it on the spool, the winding card and the
list of parts. Allowances are common practice of the bench, without source.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import pi

import numpy as np
from numpy.typing import ArrayLike

from geometry.coils.star_of_slots import PhaseCoils
from geometry.curves.curve import Real
from geometry.machine.layout import Layout

PHASE_END = 0.2  # m, left at the start and at the finish of a phase on each side
JOINT_ROOM = 0.04  # m, left at each end that is joined, beside half the way to the other: to strip and to hold
SPARE = 0.02  # share of turns, ends and joints together that is kept: what a slip or a broken end costs


@dataclass(frozen=True, slots=True, kw_only=True)
class Leads:
    """What is led out of a phase's coils, whatever their size.

    sides: of the carrier that have coils. joints: between the phase's coils. step: greatest angle about the shaft
    from a coil to the next one of its phase, rad. pieces: that each bundle is wound in, see `Layout.pieces`.
    """

    sides: int
    joints: int
    step: float
    pieces: int

    def joint_end(self, outer_radius: ArrayLike) -> Real:
        """Left at each end of a coil that is joined to the next, m, a scalar: half the longest way and room to join."""
        reach = np.asarray(outer_radius, float) * self.step / 2
        return reach + JOINT_ROOM if self.joints else 0.0 * reach

    def phase(self, outer_radius: ArrayLike) -> Real:
        """Wire of one phase beyond its turns, m, for a winding that reaches to `outer_radius` (m; broadcasts)."""
        inside = 2 * JOINT_ROOM * (self.pieces - 1)
        return self.sides * (2 * PHASE_END + inside) + 2 * self.joints * self.joint_end(outer_radius)


def leads_among(members: PhaseCoils, sectors: int, sides: int, pieces: int) -> Leads:
    """Leads of a phase that has the coils `members` of those that share the circle with `sectors` sectors."""
    steps = [(after - before) % sectors for (before, _), (after, _) in pairwise(members)]
    joints = sides * (len(members) - 1)
    return Leads(sides=sides, joints=joints, step=2 * pi * max(steps, default=0) / sectors, pieces=pieces)


def leads(layout: Layout) -> Leads:
    """Leads of each phase of a layout."""
    return leads_among(layout.order.members[0], layout.sectors, layout.sides, layout.pieces)


def phase_ends(layout: Layout) -> float:
    """Wire of one phase beyond its turns, m: at its ends on each side, and at each joint between."""
    return float(leads(layout).phase(layout.winding.outer_radius))


def spare(length: float) -> float:
    """What is kept beyond `length` m of turns and ends, m."""
    return length * SPARE


def without_spare(length: float) -> float:
    """What turns and ends together may take of `length` m at hand, m."""
    return length / (1 + SPARE)
