"""The machines that the finite elements look at, and what the model says of them."""

from __future__ import annotations

from collections.abc import Mapping
from math import pi

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.layout import Carrier, Layout, Space, Winding
from geometry.stock.magnet import DiscMagnet, Magnet
from geometry.stock.magnet_shapes import BlockMagnet
from geometry.stock.wire import Wire
from optimizer.field.emf import machine_field
from optimizer.field.pole_harmonics import odd_orders, pole_harmonics
from optimizer.numerics.quadrature import gauss

NODES = 24  # Gauss points along each side
BESIDE = 3.0  # mm that the winding reaches beyond the magnets


def window(layout: Layout) -> tuple[Real, Real, float, Real]:
    """Radii (R,) and angles (A,) over half a pole of the winding, its middle height, all m, and area weights (R, A)."""
    t, w = gauss(NODES)
    inner, outer, half = layout.winding.inner_radius, layout.winding.outer_radius, pi / layout.carrier.count
    radii = inner + (outer - inner) * t
    areas = np.outer((outer - inner) * w * radii, half * w)
    return radii, half * t, layout.air_gap + layout.stack_height / 2, areas


def machine(row: Mapping[str, str], plate_mm: float, recoil: float = 1.05) -> Layout:
    """The machine of a row of the table with plates of `plate_mm` (0: none), reaching from bore to rim."""
    sizes = ("length_mm", "pitch_radius_mm", "air_gap_mm", "height_mm", "rim_mm", "bore_mm")
    length, pitch, gap, height, rim, bore = (float(row[key]) * 1e-3 for key in sizes)
    magnet = _magnet(row, recoil)
    near, far = (float(edge) for edge in magnet.reach(pitch))
    return Layout(
        title=row["machine"],
        space=Space(outer_diameter=2 * (far + rim), bore_diameter=2 * (near - bore), wall=0.0),
        carrier=Carrier(
            magnet=magnet, count=int(row["magnets"]), pitch_radius=pitch, arrangement=row["arrangement"],
            plate=plate_mm * 1e-3,
        ),
        winding=Winding(
            topology="serpentine", inner_radius=near - BESIDE * 1e-3, outer_radius=pitch + length / 2 + BESIDE * 1e-3,
            width=1e-3, height=height, turns=1, wire=Wire(diameter=0.5e-3), peg_radius=0.5e-3, fill_factor=0.6,
        ),
        air_gap=gap,
        speed_rpm=300.0,
    )  # fmt: skip


def _magnet(row: Mapping[str, str], recoil: float) -> Magnet:
    length, width, thickness = (float(row[key] or 0) * 1e-3 for key in ("length_mm", "width_mm", "thickness_mm"))
    remanence = float(row["remanence_T"])
    if width:
        return BlockMagnet(
            length=length, width=width, thickness=thickness, remanence=remanence, recoil_permeability=recoil
        )
    return DiscMagnet(diameter=length, thickness=thickness, remanence=remanence, recoil_permeability=recoil)


def model(layout: Layout, images: float | None = None) -> tuple[float, float]:
    """By the model at the winding's middle: flux in Wb through half a pole's window, B_z in T on a magnet's axis.

    images: share of the plates' images in place of that which they leave.
    """
    carrier, (radii, angles, height, areas) = layout.carrier, window(layout)
    field = machine_field(layout, np.array([height]), carrier.pitch_radius + float(radii.max()), images)
    orders = odd_orders(carrier.count, float(radii.max()), height)
    places = np.append(radii, carrier.pitch_radius)
    harmonics = pole_harmonics(field, carrier.count, carrier.pitch_radius, places, orders)[:, 0]
    over_window = harmonics[:, :-1].T @ np.cos(np.outer(orders * carrier.pole_pairs, angles))
    return float(np.sum(areas * over_window)), float(harmonics[:, -1].sum())
