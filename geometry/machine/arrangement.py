"""How magnets, steel plates and coils stand along the shaft, and the magnets that the coil sees for it.

An infinitely permeable plate behind the magnets acts like their mirror image in its face. Between two plates the images
have images; the series is cut where the next term would lie beyond `reach`. Of a plate that saturates only a share of
what the images add is there; what the magnets make by themselves stays.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from geometry.stock.magnet import Magnet

ARRANGEMENTS = ("single", "facing", "two-sided")
"""One carrier and one coil; two carriers, unlike poles facing, the coil between; one carrier between two coils."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Equal magnets and images on one axis, poles alike along the shaft.

    middles: heights of their middles above the lower carrier's magnet faces, m. polarizations: of each, T.
    """

    middles: tuple[float, ...]
    polarizations: tuple[float, ...]


def magnet_stack(
    magnet: Magnet, arrangement: str, *, images: float, clear: float, reach: float, lower: bool = False
) -> Stack:
    """The magnets and images that make the field above the lower carrier's faces (z = 0).

    images: share of what a steel plate's images add, from 0 (no plate) to 1 (one that carries all the flux); clear:
    distance between facing magnet faces, m (used when carriers face each other); reach: how far along the shaft images
    still matter, m. lower: only the magnets of the lower carrier, with their images in the plates of both.
    """
    thickness, own, mirrored = magnet.thickness, [-magnet.thickness / 2], [-1.5 * magnet.thickness]
    if arrangement == "facing":
        mirrored = _facing_images(thickness, clear, reach, lower=lower)
        own += [] if lower else [clear + thickness / 2]
    if images <= 0:
        mirrored = []
    polarization = magnet.effective_polarization(backed=images)
    weakened = images * magnet.effective_polarization(backed=1.0)
    return Stack(
        middles=(*own, *mirrored),
        polarizations=(polarization,) * len(own) + (weakened,) * len(mirrored),
    )


def _facing_images(thickness: float, clear: float, reach: float, *, lower: bool) -> list[float]:
    """Middles of the images in two plates, m: they repeat with a period."""
    period = 2 * (clear + 2 * thickness)
    cells = range(-ceil(reach / period), ceil(reach / period) + 1)
    cell = [-thickness / 2, -1.5 * thickness]
    if not lower:
        cell += [clear + thickness / 2, clear + 1.5 * thickness]
    return [at + period * n for n in cells for at in cell if n or at not in cell[::2]]
