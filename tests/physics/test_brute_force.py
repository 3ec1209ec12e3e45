"""The EMF of a layout against brute force on its filaments: motion through the field, change of flux."""

from math import pi

import brute_force
import numpy as np
import pytest
from layouts import lantern_layout

from geometry.machine.filaments import filaments_document
from geometry.machine.layout import Layout
from geometry.stock.magnet import DiscMagnet
from geometry.stock.wire import Wire
from optimizer.field.emf import waveform

TOLERANCE = 5e-4  # the model promises 2e-3; a quarter of it tells sooner when something slips

SMALL = {
    "outer_diameter": 0.07,
    "bore_diameter": 0.016,
    "pitch_radius": 0.022,
    "inner_radius": 0.012,
    "outer_radius": 0.034,
    "count": 4,
    "turns": 6,
}
ROUND = {"inner_radius": 0.012, "outer_radius": 0.03}
NARROW = {"inner_radius": 0.006, "bore_diameter": 0.01}
MACHINES = {
    "serpentine": lantern_layout("serpentine", turns=5),
    "wedge": lantern_layout("wedge", turns=3),
    "round": lantern_layout("round", turns=3),
    "serpentine, two magnets": lantern_layout("serpentine", **SMALL | {"count": 2}),
    "wedge, two magnets": lantern_layout("wedge", **SMALL | {"count": 2}),
    "round, two magnets": lantern_layout("round", **SMALL | ROUND | {"count": 2}),
    "serpentine, sixteen magnets": lantern_layout(
        "serpentine",
        count=16,
        width=0.002,
        inner_radius=0.028,
        turns=2,
        peg_radius=0.001,
        magnet=DiscMagnet(diameter=0.012, thickness=0.004, remanence=1.3),
    ),
    "wedge, thick short bundle": lantern_layout(
        "wedge", **SMALL | {"width": 0.009, "height": 0.0015, "turns": 4}
    ),
    "serpentine, one turn": lantern_layout("serpentine", **SMALL | {"turns": 1}),
    "wedge, one turn": lantern_layout("wedge", **SMALL | {"turns": 1}),
    "round, one turn": lantern_layout("round", **SMALL | ROUND | {"turns": 1}),
    "racetrack, one turn": lantern_layout("racetrack", **SMALL | NARROW | {"turns": 1}),
    "serpentine, small gap": lantern_layout("serpentine", **SMALL | {"air_gap": 0.5e-3, "width": 0.003}),
    "round, four magnets": lantern_layout(
        "round", **SMALL | ROUND | {"inner_radius": 0.014, "outer_radius": 0.026}
    ),
    "round, small gap": lantern_layout("round", **SMALL | ROUND | {"air_gap": 0.5e-3, "height": 0.001}),
    "racetrack": lantern_layout("racetrack", turns=3),
    "racetrack, four magnets": lantern_layout("racetrack", **SMALL | NARROW),
    "racetrack, small gap": lantern_layout("racetrack", inner_radius=0.017, air_gap=0.5e-3, turns=4),
    "racetracks, three phases": lantern_layout("racetrack", phases=3, coils=9, turns=3),
    "racetracks between two carriers": lantern_layout("racetrack", arrangement="facing", turns=3),
    "wedge, thick wire": lantern_layout("wedge", **SMALL | {"wire": Wire(diameter=1e-3), "width": 0.005}),
}


def half_period(layout: Layout, samples: int) -> tuple[np.ndarray, np.ndarray]:
    """Rotor angles over half an electrical period (harmonics are odd), and the electrical ones."""
    electrical = (np.arange(samples) + 0.5) * pi / samples
    return electrical / layout.carrier.pole_pairs, electrical


@pytest.mark.parametrize("name", MACHINES)
def test_motion_through_the_field(name: str):
    layout = MACHINES[name]
    rotor, electrical = half_period(layout, 20)
    brute, ours = brute_force.emf(filaments_document(layout), rotor), waveform(layout)
    rms = float(np.sqrt(np.mean(brute**2)))
    assert ours.rms == pytest.approx(rms, rel=TOLERANCE)
    # and the whole course, sign and phase included
    assert np.sqrt(np.mean((ours.at(electrical) - brute) ** 2)) < TOLERANCE * rms


@pytest.mark.slow
@pytest.mark.parametrize("name", ["serpentine", "wedge", "round", "racetrack"])
def test_change_of_flux(name: str):
    """A filament that turns at +ω sees the rotor fall back: −dλ/dt = ω dλ/dθ, harmonic by harmonic."""
    layout = MACHINES[f"{name}, one turn"]
    rotor, electrical = half_period(layout, 20)
    flux = brute_force.flux(filaments_document(layout), rotor, rings=24)
    ours, orders = waveform(layout), np.arange(1, 20, 2)
    linked = 2 / 20 * np.cos(np.outer(orders, electrical)) @ flux
    found = -layout.speed_rpm * 2 * pi / 60 * layout.carrier.pole_pairs * orders * linked
    assert np.sqrt(np.sum(found**2) / 2) == pytest.approx(ours.rms, rel=TOLERANCE)
    np.testing.assert_allclose(found, ours.amplitudes[:10], atol=TOLERANCE * ours.rms)


def test_a_ring_without_legs_gives_nothing():
    document = filaments_document(MACHINES["serpentine, one turn"])
    circle = 30 * np.exp(2j * pi * np.arange(720) / 720)
    ring = [[float(z.real), float(z.imag), 4.0] for z in circle]
    rotor, _ = half_period(MACHINES["serpentine, one turn"], 8)
    with_legs = np.abs(brute_force.emf(document, rotor)).max()
    assert np.abs(brute_force.emf(document | {"phases": [[ring]]}, rotor)).max() < 1e-12 * with_legs
