"""The pull between facing carriers: magpylib's force, the slope of the energy, the limit of dipoles, plates."""

from __future__ import annotations

from math import pi
from typing import Any

import magpylib as magpy
import numpy as np
import pytest
from layouts import lantern_layout

from geometry.machine.layout import Layout
from geometry.stock.magnet import DiscMagnet, RingMagnet
from geometry.stock.magnet_shapes import BlockMagnet
from optimizer.field.emf import attraction

MU0 = 4e-7 * pi
KIND = {"thickness": 0.004, "remanence": 1.3}
MAGNETS = {
    "disc": DiscMagnet(diameter=0.015, **KIND),
    "ring": RingMagnet(diameter=0.015, bore=0.006, **KIND),
    "block": BlockMagnet(length=0.018, width=0.01, **KIND),
}


def facing(magnet: Any, **changes: Any) -> Layout:
    return lantern_layout("wedge", magnet=magnet, arrangement="facing", **{"turns": 3} | changes)


def source(magnet: Any, polarization: float, angle: float, layout: Layout, middle: float) -> Any:
    radius, up = layout.carrier.pitch_radius, (0, 0, polarization)
    if magnet.shape == "block":
        made = magpy.magnet.Cuboid(polarization=up, dimension=(magnet.length, magnet.width, magnet.thickness))
    elif magnet.shape == "ring":
        made = magpy.magnet.CylinderSegment(
            polarization=up, dimension=(magnet.bore / 2, magnet.diameter / 2, magnet.thickness, 0, 360)
        )
    else:
        made = magpy.magnet.Cylinder(polarization=up, dimension=(magnet.diameter, magnet.thickness))
    made.rotate_from_angax(np.degrees(angle), "z", anchor=None)
    made.position = (radius * np.cos(angle), radius * np.sin(angle), middle)
    return made


def sources(layout: Layout, middle: float) -> list[Any]:
    carrier = layout.carrier
    return [
        source(carrier.magnet, carrier.magnet.polarization * (-1) ** j, 2 * pi * j / carrier.count, layout, middle)
        for j in range(carrier.count)
    ]


@pytest.mark.parametrize("shape", ["disc", "block"])
def test_magpylibs_force(shape: str) -> None:
    """On one magnet of the upper carrier from all of the lower, times their number."""
    layout = facing(MAGNETS[shape])
    low, high = layout.stack(0.0).middles
    upper = sources(layout, high)[0]
    force, _ = magpy.getFT(sources(layout, low), upper, meshing=600)
    total = -float(np.sum(np.asarray(force)[:, 2])) * layout.carrier.count
    assert attraction(layout) == pytest.approx(total, rel=0.01)  # 600 cells in a magnet


def test_the_slope_of_the_energy() -> None:
    """W = −J ∫ B_z dV/μ0 over the upper magnets; F = −dW/dz, the mean over their volume by Gauss points."""
    layout = facing(MAGNETS["block"])
    magnet, carrier = MAGNETS["block"], layout.carrier
    low, high = layout.stack(0.0).middles
    t, w = np.polynomial.legendre.leggauss(12)
    x, y, z = np.meshgrid(
        t * magnet.length / 2, t * magnet.width / 2, t * magnet.thickness / 2, indexing="ij"
    )
    share = np.einsum("i,j,k->ijk", w, w, w).ravel() / 8

    def energy(lift: float) -> float:
        where = np.column_stack((x.ravel() + carrier.pitch_radius, y.ravel(), z.ravel() + high + lift))
        field = np.asarray(magpy.getB(sources(layout, low), where, sumup=True))[:, 2]
        return -carrier.magnet.polarization * magnet.volume / MU0 * float(share @ field)

    step = 1e-5
    slope = (energy(step) - energy(-step)) / (2 * step) * carrier.count
    assert attraction(layout) == pytest.approx(slope, rel=1e-3)


def test_the_limit_of_dipoles() -> None:
    """Two small magnets far from all others: F = 3 m²μ0/(2π d⁴), here for two pairs far apart."""
    magnet = DiscMagnet(diameter=0.003, thickness=0.002, remanence=1.3)
    layout = facing(magnet, count=2, air_gap=0.008, height=0.004, turns=1)
    low, high = layout.stack(0.0).middles
    moment = layout.carrier.magnet.polarization * magnet.volume / MU0
    one = 3 * MU0 * moment**2 / (2 * pi * (high - low) ** 4)
    assert attraction(layout) == pytest.approx(2 * one, rel=0.03)  # the magnets' size and the other pair


def test_a_ring_pulls_as_magpylib_says() -> None:
    layout = facing(MAGNETS["ring"], count=2, turns=1)
    low, high = layout.stack(0.0).middles
    upper = sources(layout, high)[0]
    force, _ = magpy.getFT(sources(layout, low), upper, meshing=200)
    total = -float(np.sum(np.asarray(force)[:, 2])) * 2
    assert attraction(layout) == pytest.approx(total, rel=0.02)  # 200 cells


def test_plates_pull_harder_and_a_gap_weakens() -> None:
    plain = attraction(facing(MAGNETS["disc"]))
    steel = attraction(facing(MAGNETS["disc"], plate=0.005))
    wide = attraction(facing(MAGNETS["disc"], air_gap=0.003))
    assert plain is not None
    assert steel is not None
    assert wide is not None
    assert steel > 1.5 * plain > 1.5 * 1.3 * wide


def test_only_facing_carriers_pull() -> None:
    assert attraction(lantern_layout("wedge")) is None
