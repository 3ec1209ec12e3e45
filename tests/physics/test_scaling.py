"""What must hold without any reference number: how the EMF scales, adds up and mirrors."""

from dataclasses import replace
from math import pi, sqrt

import brute_force
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layouts import lantern_layout

from geometry.coils.bundle import turn_positions
from geometry.coils.topology import TOPOLOGIES
from geometry.curves.curve import Real
from geometry.machine.filaments import filaments_document
from geometry.machine.layout import Layout
from geometry.stock.magnet import DiscMagnet
from geometry.stock.wire import Wire
from optimizer.evaluation.chain import evaluate
from optimizer.field.emf import Waveform, waveform
from optimizer.field.linkage import half_turn_functional
from optimizer.field.pole_harmonics import axial_field, disc_profile, odd_orders, pole_harmonics
from optimizer.numerics.quadrature import even_grid

SHAPES = tuple(TOPOLOGIES)


@pytest.mark.parametrize("shape", SHAPES)
@given(factor=st.floats(0.1, 10))
@settings(max_examples=5, deadline=None)
def test_emf_follows_speed(shape: str, factor: float):
    slow, fast = lantern_layout(shape), lantern_layout(shape, speed_rpm=400.0 * factor)
    np.testing.assert_allclose(waveform(fast).amplitudes, factor * waveform(slow).amplitudes, rtol=1e-12)
    assert evaluate(fast).emf_constant_V_per_krpm == pytest.approx(
        evaluate(slow).emf_constant_V_per_krpm, rel=1e-8
    )


@pytest.mark.parametrize("shape", SHAPES)
def test_emf_follows_remanence(shape: str):
    def of(remanence: float) -> Waveform:
        return waveform(
            lantern_layout(shape, magnet=DiscMagnet(diameter=0.015, thickness=0.004, remanence=remanence))
        )

    np.testing.assert_allclose(of(1.4).amplitudes, 4 * of(0.35).amplitudes, rtol=1e-9, atol=1e-12)


@pytest.mark.parametrize("shape", SHAPES)
def test_emf_follows_turns_in_the_same_section(shape: str):
    few, many = (waveform(lantern_layout(shape, turns=turns)).rms for turns in (40, 160))
    # 0.2 %: turns stand in the middle of their cells, so a few do not sample the section exactly as many do
    assert many / few == pytest.approx(4, rel=2e-3)


@pytest.mark.parametrize("shape", SHAPES)
def test_figure_of_a_geometry_does_not_depend_on_the_gauge(shape: str):
    thick = evaluate(lantern_layout(shape, turns=40, wire=Wire(diameter=0.4e-3)))
    thin = evaluate(lantern_layout(shape, turns=160, wire=Wire(diameter=0.2e-3)))
    assert thin.copper_mass_g == pytest.approx(thick.copper_mass_g, rel=2e-3)
    # 0.2 %: forty turns sample the section more coarsely than a hundred and sixty
    assert thin.emf_per_root_ohm == pytest.approx(thick.emf_per_root_ohm, rel=2e-3)
    assert thin.matched_power_W == pytest.approx(thick.matched_power_W, rel=4e-3)


@pytest.mark.parametrize("shape", SHAPES)
def test_everything_twice_as_large(shape: str):
    """At twice every length field lines are the same, so the EMF per turn is four times as large."""
    small = lantern_layout(shape)
    sizes = (
        "outer_diameter",
        "bore_diameter",
        "wall",
        "pitch_radius",
        "inner_radius",
        "outer_radius",
        "width",
        "height",
        "peg_radius",
        "air_gap",
    )
    owners = (small.space, small.carrier, small.winding, small)
    doubled = {name: 2 * getattr(owner, name) for name in sizes for owner in owners if hasattr(owner, name)}
    old = small.carrier.magnet
    magnet = replace(old, diameter=2 * old.diameter, thickness=2 * old.thickness)
    large = lantern_layout(shape, magnet=magnet, **doubled)
    np.testing.assert_allclose(
        waveform(large).amplitudes, 4 * waveform(small).amplitudes, rtol=1e-9, atol=1e-9
    )


@pytest.mark.parametrize("shape", SHAPES)
def test_reflection(shape: str):
    """By brute force: mirrored about a magnet's axis the machine is the same and turns the other way."""
    layout = lantern_layout(shape, turns=1)
    document, angles = filaments_document(layout), np.array([0.03, 0.11, 0.2])
    ahead, back = (brute_force.emf(document, side * angles) for side in (1, -1))
    opposite = brute_force.emf(document, angles + pi / layout.carrier.pole_pairs)
    # 2e-4: the chords of a half turn do not begin where those of its mirror image end
    assert back == pytest.approx(-ahead, rel=2e-4)
    assert opposite == pytest.approx(-ahead, rel=1e-6)


def sum_of_filaments(layout: Layout) -> Real:
    """Amplitudes as the sum over the turns, each at its own offset and height."""
    winding, carrier = layout.winding, layout.carrier
    offsets, levels = turn_positions(winding.turns, winding.width, winding.height)
    heights = layout.air_gap + np.unique(levels)
    orders = odd_orders(carrier.count, winding.outer_radius, layout.air_gap)
    grid = even_grid(winding.inner_radius, winding.outer_radius, layout.air_gap / 4)
    profile = disc_profile(carrier.magnet, heights, carrier.pitch_radius + winding.outer_radius)
    harmonics = pole_harmonics(profile, carrier.count, carrier.pitch_radius, grid, orders)
    rows = half_turn_functional(layout.topology, layout.envelope, offsets, grid, orders * carrier.pole_pairs)
    at = np.searchsorted(np.unique(levels), levels)
    scale = layout.speed_rpm * 2 * pi / 60 * layout.topology.half_turns(carrier.count)
    return scale * np.einsum("kur,kur->k", rows, harmonics[:, at])


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("section", [(0.004, 0.005), (0.006, 0.001), (0.001, 0.005)])
def test_sum_of_parts(shape: str, section: tuple[float, float]):
    layout = lantern_layout(shape, turns=23, width=section[0], height=section[1])
    whole = waveform(layout)
    # 1e-4 of the whole: what interpolation across the bundle and over its height may cost
    np.testing.assert_allclose(whole.amplitudes, sum_of_filaments(layout), atol=1e-4 * whole.rms)


@pytest.mark.parametrize("count", [2, 8, 16])
def test_superposition_of_magnets(count: int):
    """The harmonics of the ring add up to the fields of its discs, each straight from magpylib."""
    disc, pitch, heights = (
        DiscMagnet(diameter=0.012, thickness=0.004, remanence=1.3),
        0.04,
        np.array([2e-3, 5e-3]),
    )
    radii, angles = np.linspace(0.025, 0.055, 9), np.linspace(0, 2 * pi, 30)
    orders = odd_orders(count, radii[-1], heights[0], depth=14)
    harmonics = pole_harmonics(disc_profile(disc, heights, 0.1), count, pitch, radii, orders)
    ring = np.einsum("kzr,ka->zra", harmonics, np.cos(np.outer(orders * count / 2, angles)))
    points = radii[:, None] * np.exp(1j * angles)
    centers = pitch * np.exp(2j * pi * np.arange(count) / count)
    straight = sum(
        (-1) ** j * axial_field(disc, np.abs(points - center), heights[:, None, None])
        for j, center in enumerate(centers)
    )
    np.testing.assert_allclose(ring, straight, atol=3e-5 * float(np.abs(straight).max()))


def test_a_pure_sine():
    sine = Waveform(np.array([1.0]), np.array([3.0]))
    assert sine.rms == pytest.approx(3 / sqrt(2), rel=1e-15)
    assert sine.peak == pytest.approx(3, rel=1e-12)
    assert sine.distortion == 0
    assert sine.at(np.array([0, pi / 6, pi / 2])) == pytest.approx([0, 1.5, 3])


def test_a_sine_with_a_third_harmonic():
    wave = Waveform(np.array([1.0, 3.0]), np.array([4.0, -3.0]))
    angle = (np.arange(4096) + 0.5) * 2 * pi / 4096
    assert wave.rms == pytest.approx(float(np.sqrt(np.mean(wave.at(angle) ** 2))), rel=1e-12)
    assert wave.rms == pytest.approx(5 / sqrt(2))
    assert wave.peak == pytest.approx(7)
    assert wave.distortion == pytest.approx(0.75)


def test_common_practice():
    """Discs 20 × 4.5 mm with a hand-wound serpentine of some tens of turns give single-digit volts."""
    layout = lantern_layout(
        count=12,
        pitch_radius=0.045,
        outer_diameter=0.12,
        inner_radius=0.03,
        outer_radius=0.06,
        turns=60,
        width=0.005,
        height=0.005,
        magnet=DiscMagnet.of_grade(diameter=0.02, thickness=0.0045, grade="N42"),
        speed_rpm=600.0,
    )
    assert 2 < evaluate(layout).emf_rms_V < 10
