"""Coil and magnet shapes as small pictures, drawn from their own outlines."""

from __future__ import annotations

from math import pi
from typing import Any

from geometry.coils.envelope import Envelope
from geometry.coils.topology import Topology
from geometry.curves.curve import Curve, polyline, rotated_curve
from geometry.drawing.primitives import Path
from geometry.files.keyed import file_keys
from geometry.stock.magnet import Magnet
from geometry.writers.svg import path_data

COIL = Envelope(inner_radius=8e-3, outer_radius=21e-3, width=2e-3, sectors=8, peg_radius=1e-3)
SIZES = {"bore": 5e-3, "inner_radius": 18e-3, "outer_radius": 30e-3, "angle_deg": 36.0}  # m, °
USUAL, PITCH = 14e-3, 24e-3  # m; of any other size, and from the shaft
EDGE = 0.06  # of the picture's size, left free around it


def coil_icon(shape: Topology) -> list[str]:
    """The middle turn of one coil of that shape, or of a wave winding around the shaft."""
    return _icon(shape.turn(COIL, 0.0))


def magnet_icon(kind: type[Magnet]) -> list[str]:
    """The face of a magnet of that shape, with its hole."""
    sizes: dict[str, Any] = {name: SIZES.get(name, USUAL) for name in file_keys(kind)}
    magnet = kind(**sizes, thickness=USUAL, remanence=1.0)
    return _icon(magnet.outline(PITCH), magnet.hole(PITCH))


def _icon(edge: Curve, hole: Curve | None = None) -> list[str]:
    """SVG's view box (x, y, width, height) and path data, mm, of closed curves whose axis points up the page."""
    curves = [rotated_curve(curve, pi / 2) for curve in (edge, hole) if curve]
    points = polyline(curves[0], step=1e-3, sagitta=1e-5) * 1e3
    middle = complex(points.real.min() + points.real.max(), points.imag.min() + points.imag.max()) / 2
    size = (1 + 2 * EDGE) * float(max(points.real.max() - points.real.min(), points.imag.max() - points.imag.min()))
    box = (middle.real - size / 2, -middle.imag - size / 2, size, size)
    return [
        " ".join(f"{number:.2f}" for number in box),
        " ".join(path_data(Path(curve, closed=True)) for curve in curves),
    ]
