"""The machines that the finite elements look at, and what the images say of them."""

from __future__ import annotations

from math import pi

import numpy as np

from geometry.curve import Complex, Real
from geometry.layout import Carrier, Layout, Space, Winding
from geometry.magnet import DiscMagnet
from geometry.wire import Wire
from optimizer.field import axial_field
from studies.steel_plate.window import window

# name: diameter, thickness, count, pitch radius, arrangement, air gap, height of the winding, plate beyond magnets; mm
SIZES = {
    "12 of 20 × 5": (20, 5, 12, 40, "single", 2, 3, 5),
    "12 of 20 × 5, wide plate": (20, 5, 12, 40, "single", 2, 3, 20),
    "16 of 15 × 4": (15, 4, 16, 45, "single", 2, 4, 5),
    "8 of 20 × 10": (20, 10, 8, 35, "single", 2, 4, 5),
    "12 of 10 × 3": (10, 3, 12, 30, "single", 1, 3, 5),
    "8 of 15 × 4, apart": (15, 4, 8, 40, "single", 2, 4, 5),
    "6 of 25 × 5": (25, 5, 6, 30, "single", 2, 4, 5),
    "12 of 20 × 5, facing": (20, 5, 12, 40, "facing", 1.5, 4, 5),
}
REMANENCE = 1.32  # T, N42's middle


def machine(name: str, plate_mm: float, recoil: float = 1.05) -> Layout:
    """The machine with plates of `plate_mm` (0: none), which reach beyond the magnets on either side."""
    diameter, thickness, count, pitch, arrangement, gap, height, beyond = SIZES[name]
    outer, inner = pitch + diameter / 2, pitch - diameter / 2
    return Layout(
        title=name,
        space=Space(
            outer_diameter=2e-3 * (outer + beyond), bore_diameter=2e-3 * max(inner - beyond, 7), wall=0.0
        ),
        carrier=Carrier(
            magnet=DiscMagnet(
                diameter=diameter * 1e-3, thickness=thickness * 1e-3, remanence=REMANENCE, recoil_permeability=recoil
            ),
            count=count, pitch_radius=pitch * 1e-3, arrangement=arrangement, plate=plate_mm * 1e-3,
        ),
        winding=Winding(
            topology="serpentine", inner_radius=(inner - 3) * 1e-3, outer_radius=(outer + 3) * 1e-3, width=1e-3,
            height=height * 1e-3, turns=1, wire=Wire(diameter=0.5e-3), peg_radius=0.5e-3, fill_factor=0.6,
        ),
        air_gap=gap * 1e-3,
        speed_rpm=300.0,
    )  # fmt: skip


def image_flux(layout: Layout) -> float:
    """Flux in Wb through half a pole's window at the winding's middle, by the magnets and their images."""
    radii, angles, height, areas = window(layout)
    points = np.asarray(radii[:, None] * np.exp(1j * angles), complex)
    return float(np.sum(areas * _image_field(layout, points, height)))


def image_axis(layout: Layout) -> float:
    """B_z in T on a magnet's axis at the winding's middle, by the magnets and their images."""
    height = window(layout)[2]
    return float(_image_field(layout, np.array([layout.carrier.pitch_radius + 0j]), height)[0])


def _image_field(layout: Layout, points: Complex, height: float) -> Real:
    carrier = layout.carrier
    assert isinstance(carrier.magnet, DiscMagnet)
    axes = carrier.pitch_radius * np.exp(2j * pi * np.arange(carrier.count) / carrier.count)
    polarity = 1 - 2 * (np.arange(carrier.count) % 2)
    distance = np.abs(points[..., None] - axes)
    return axial_field(carrier.magnet, distance, height, layout.stack, carrier.polarization) @ polarity
