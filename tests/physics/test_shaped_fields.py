"""Rings, blocks and arcs: the EMF by brute force, superposition, and what the rooms around them say."""

from __future__ import annotations

from dataclasses import replace
from math import pi
from typing import Any

import brute_force
import magpylib as magpy
import numpy as np
import pytest
from layouts import lantern_layout

from geometry.fit.judge import overlaps
from geometry.fit.rules import violations
from geometry.machine.filaments import filaments_document
from geometry.machine.layout import Layout, Stack
from geometry.stock.magnet import DiscMagnet, Magnet, RingMagnet
from geometry.stock.magnet_shapes import ArcMagnet, BlockMagnet
from optimizer.field.emf import waveform
from optimizer.field.pole_harmonics import magnet_field
from optimizer.field.steel import images_share

TOLERANCE = 5e-4  # the model promises 2e-3
KIND: dict[str, Any] = {"thickness": 0.004, "remanence": 1.3}
RING = RingMagnet(diameter=0.018, bore=0.007, **KIND)
BLOCK = BlockMagnet(length=0.02, width=0.012, **KIND)
ARC = ArcMagnet(inner_radius=0.03, outer_radius=0.05, angle_deg=30, **KIND)
FEW = {"turns": 2, "inner_radius": 0.024, "width": 0.003}
MACHINES = {
    "ring, wedge": lantern_layout("wedge", magnet=RING, **FEW),
    "block, serpentine": lantern_layout("serpentine", magnet=BLOCK, **FEW),
    "block, facing plates": lantern_layout("wedge", magnet=BLOCK, arrangement="facing", plate=0.003, turns=1),
    "arc, round": lantern_layout("round", magnet=ARC, count=4, turns=1, inner_radius=0.024),
}


@pytest.mark.slow
@pytest.mark.parametrize("name", MACHINES)
def test_motion_through_the_field(name: str) -> None:
    layout = MACHINES[name]
    samples = 12 if name in ("ring, wedge", "block, serpentine") else 6  # the others take their time
    electrical = (np.arange(samples) + 0.5) * pi / samples
    brute = brute_force.emf(filaments_document(layout, images_share(layout)), electrical / layout.carrier.pole_pairs)
    ours = waveform(layout)
    rms = float(np.sqrt(np.mean(brute**2)))
    assert np.sqrt(np.mean((ours.at(electrical) - brute) ** 2)) < TOLERANCE * rms
    assert np.mean(ours.at(electrical) ** 2) ** 0.5 == pytest.approx(rms, rel=TOLERANCE)


def alone(magnet: Magnet) -> Stack:
    """The magnet by itself, of 1 T."""
    return Stack(middles=(-magnet.thickness / 2,), polarizations=(1.0,))


def half_circle(magnet: Magnet, pitch: float = 0.04) -> np.ndarray:
    heights, radii = np.array([0.0015, 0.004]), np.linspace(0.02, 0.055, 40)
    return magnet_field(magnet, heights, 0.1, alone(magnet)).half_circle(pitch, radii, 240)


def test_blocks_and_arcs_are_magpylibs() -> None:
    radii, angles = np.linspace(0.02, 0.055, 40)[::6], np.linspace(0, pi, 241)[:100:9]
    z = radii[:, None] * np.exp(1j * angles)
    where = np.stack((z.real, z.imag, np.full(z.shape, 0.0015)), axis=-1)
    block = magpy.magnet.Cuboid(
        polarization=(0, 0, 1), dimension=(0.02, 0.012, 0.004), position=(0.04, 0, -0.002)
    )
    arc = magpy.magnet.CylinderSegment(
        polarization=(0, 0, 1), dimension=(0.03, 0.05, 0.004, -15, 15), position=(0, 0, -0.002)
    )
    for ours, theirs, close in (
        (BLOCK, block, 1e-12),
        (ARC, arc, 1e-3),
    ):  # an arc's samples lack the finest ripple
        expected = np.asarray(theirs.getB(where))[..., 2]
        np.testing.assert_allclose(half_circle(ours)[::6, :100:9, 0], expected, atol=close * expected.max())


def test_a_ring_is_a_disc_less_a_disc() -> None:
    outer, inner = DiscMagnet(diameter=0.018, **KIND), DiscMagnet(diameter=0.007, **KIND)
    np.testing.assert_allclose(half_circle(RING), half_circle(outer) - half_circle(inner), atol=1e-12)


def test_blocks_make_a_bigger_block() -> None:
    """Two halves beside each other along the radius."""
    half = replace(BLOCK, length=0.01)
    whole = half_circle(half, 0.035) + half_circle(half, 0.045)
    np.testing.assert_allclose(half_circle(BLOCK), whole, atol=1e-12)


def test_arcs_of_one_polarity_make_a_ring() -> None:
    """Twelve arcs of 30° all north up are a ring about the shaft: what a single one has of order 0, twelve times."""
    field = half_circle(ARC)
    weight = np.full(241, 1 / 240)
    weight[[0, -1]] /= 2
    together = 12 * np.einsum("raz,a->rz", field, weight)
    heights, radii = np.array([0.0015, 0.004]), np.linspace(0.02, 0.055, 40)
    big = RingMagnet(diameter=0.1, bore=0.06, **KIND)
    ring = magnet_field(big, heights, 0.1, alone(big)).half_circle(0.0, radii, 1)[:, 0]
    np.testing.assert_allclose(together, ring, atol=2e-5 * np.abs(ring).max())


def test_arcs_within_arcs_add_up() -> None:
    inner, outer = replace(ARC, outer_radius=0.04), replace(ARC, inner_radius=0.04)
    np.testing.assert_allclose(half_circle(ARC), half_circle(inner) + half_circle(outer), atol=1e-12)


@pytest.mark.parametrize("shape", ["block", "arc"])
def test_closed_form_walls_agree_with_shapely(shape: str) -> None:
    """A machine whose tightest wall is exactly what is asked for fits; a hundredth of a millimetre less does not."""
    magnet: Magnet = BLOCK if shape == "block" else replace(ARC, angle_deg=36)
    base = lantern_layout("wedge", magnet=magnet, turns=1, inner_radius=0.024)
    between = float(magnet.beside(0.04, 8))
    farthest = float(magnet.reach(0.04)[1])
    wide = {"outer_diameter": 0.2, "bore_diameter": 0.004}
    for clearances in ({"wall": between, **wide}, {"outer_diameter": 2 * farthest + 2e-3, "wall": 1e-3}):
        fits = _with_space(base, **clearances)
        tight = _with_space(base, **clearances | {"wall": clearances["wall"] + 1e-5})
        assert not [m for m in violations(fits) if m.key.startswith("carrier")]
        assert not [fault for fault in overlaps(fits) if "pocket" in fault]
        assert [m for m in violations(tight) if m.key.startswith("carrier")]
        assert [fault for fault in overlaps(tight) if "pocket" in fault]


def _with_space(layout: Layout, **changes: float) -> Layout:
    return replace(layout, space=replace(layout.space, **changes))
