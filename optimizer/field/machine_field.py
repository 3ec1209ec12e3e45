"""The field of a whole machine's magnets as its coils see it, its steel plates as they are."""

from __future__ import annotations

from geometry.curves.curve import Real
from geometry.machine.layout import Layout
from optimizer.field.pole_harmonics import MagnetField, magnet_field
from optimizer.field.steel import images_share


def machine_field(layout: Layout, heights: Real, reach: float, images: float | None = None) -> MagnetField:
    """B_z of one of its magnets with all images at `heights` (Z,), m, out to `reach` (m) from the magnet's middle.

    images: share of the plates' images in place of that which its plates leave.
    """
    stack = layout.stack(images_share(layout) if images is None else images)
    return magnet_field(layout.carrier.magnet, heights, reach, stack)
