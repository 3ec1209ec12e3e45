"""How much of their images a brief's steel plates leave, quick enough for the search.

The needed thickness of one magnet and count is smooth over pitch radius and distance: a polynomial through a few.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Real
from geometry.machine.layout import Carrier
from geometry.stock.magnet import Magnet
from optimizer.brief.brief import Brief
from optimizer.field.steel import LAW, needed_thickness, proportions
from optimizer.numerics.quadrature import chebyshev, chebyshev_basis
from optimizer.scan.choices import closest_pitch_radius, pitch_limits

NODES = 6, 4  # over the pitch radius and, between facing carriers, the distance of their faces


@dataclass(frozen=True, slots=True)
class PlateShares:
    """Of one magnet and count. radii: least and largest pitch radius, m; clear: of facing carriers, least and largest
    distance, m; needed: thickness, m, at the nodes of both (R, C)."""

    brief: Brief
    carrier: Carrier
    radii: tuple[float, float]
    clear: tuple[float, float]
    needed: Real

    @classmethod
    def of(cls, brief: Brief, magnet: Magnet, count: int) -> PlateShares:
        """Of a brief with steel plates."""
        low, high = pitch_limits(brief, magnet)
        radii = min(max(low, closest_pitch_radius(brief, magnet, count)), high), high
        clear = 2 * brief.air_gap, 2 * brief.air_gap + brief.coil_height
        carrier = Carrier(
            magnet=magnet, count=count, pitch_radius=magnet.placed(high), arrangement=brief.arrangement,
            plate=brief.plate,
        )  # fmt: skip
        rows, columns = NODES[0], NODES[1] if brief.arrangement == "facing" else 1
        needed = [
            [needed_thickness(replace(carrier, pitch_radius=magnet.placed(radius)), distance)
             for distance in _spread(clear, columns)]
            for radius in _spread(radii, rows)
        ]  # fmt: skip
        return cls(brief, carrier, radii, clear, np.array(needed))

    def __call__(self, pitch_radius: ArrayLike, height: ArrayLike) -> Real:
        """Share of the images, (P, H), at pitch radii (P,) and heights (H,) of all bundles together, m."""
        radius, clear = np.atleast_1d(pitch_radius), 2 * self.brief.air_gap + np.atleast_1d(height)
        rows, columns = (
            chebyshev_basis(count, _centred(limits, at))
            for count, limits, at in zip(self.needed.shape, (self.radii, self.clear), (radius, clear), strict=True)
        )
        placed = np.clip(radius, *self.radii)[:, None]
        return LAW.share(proportions(self.brief.space, self.carrier, placed, clear, rows @ self.needed @ columns.T))


def _spread(limits: tuple[float, float], count: int) -> list[float]:
    low, high = limits
    return ((low + high) / 2 + (high - low) / 2 * chebyshev(count)).tolist()


def _centred(limits: tuple[float, float], at: Real) -> Real:
    """From −1 to 1 between the limits, kept within."""
    low, high = limits
    return np.clip((2 * at - low - high) / max(high - low, 1e-12), -1, 1)
