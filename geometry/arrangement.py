"""How magnets, steel plates and coils stand along the shaft, and the magnets that the coil sees for it.

A steel plate behind the magnets is taken as infinitely permeable: it acts like the magnets' mirror image in its face.
Between two plates the images have images; the series is cut where the next term would lie beyond `reach`.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

ARRANGEMENTS = ("single", "facing", "two-sided")
"""One carrier and one coil; two carriers, unlike poles facing, the coil between; one carrier between two coils."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Equal magnets and images on one axis, poles alike along the shaft.

    middles: heights of their middles above the lower carrier's magnet faces, m.
    clear: distance between facing magnet faces, m; infinite when nothing faces the magnets.
    """

    middles: tuple[float, ...]
    clear: float = float("inf")


def magnet_stack(
    arrangement: str, thickness: float, *, plate: bool, clear: float, reach: float, lower: bool = False
) -> Stack:
    """The magnets and images that make the field above the lower carrier's faces (z = 0).

    lower: only those of the lower carrier, with their images in the plates of both.
    thickness: of a magnet, m; plate: whether steel stands behind the magnets; clear: distance between facing magnet
    faces, m (used when carriers face each other); reach: how far along the shaft images still matter, m.
    """
    own = [-thickness / 2, -1.5 * thickness] if plate else [-thickness / 2]
    if arrangement != "facing":
        return Stack(middles=tuple(own))
    facing = [clear + thickness / 2, clear + 1.5 * thickness]
    seen = own if lower else [*own, *facing]
    if not plate:
        return Stack(middles=tuple(middle for middle in seen if middle in (own[0], facing[0])), clear=clear)
    period = 2 * (clear + 2 * thickness)
    cells = range(-ceil(reach / period), ceil(reach / period) + 1)
    # images repeat with the period: the facing magnets' are those of the own ones for some of them
    middles = {round(middle + period * cell, 12) for cell in cells for middle in seen}
    return Stack(middles=tuple(sorted(middles)), clear=clear)
