"""Three phases: each against brute force on its own filaments, balance, lines, and winding factors of real coils."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sqrt

import brute_force
import numpy as np
import pytest
from layouts import lantern_layout

from geometry.coils.star_of_slots import handbook_winding_factor
from geometry.machine.filaments import filaments_document
from geometry.machine.layout import Layout
from geometry.stock.magnet import DiscMagnet
from geometry.stock.wire import Wire
from optimizer.evaluation.chain import evaluate
from optimizer.field.emf import machine_emf, waveform

TOLERANCE = 5e-4  # the model promises 2e-3
SMALL = DiscMagnet(diameter=0.012, thickness=0.004, remanence=1.3)
COILS = {"width": 0.003, "turns": 3, "outer_radius": 0.052}
WAVE = {"phases": 3, "turns": 4, "height": 0.002}

MACHINES = {
    "9 wedges before 8": lantern_layout("wedge", phases=3, coils=9, **COILS),
    "6 wedges before 8": lantern_layout("wedge", phases=3, coils=6, **COILS),
    "12 wedges before 10": lantern_layout("wedge", count=10, magnet=SMALL, phases=3, coils=12, **COILS),
    "6 rounds before 8": lantern_layout("round", phases=3, coils=6, turns=3),
    "layered serpentines": lantern_layout("serpentine", stacking="layered", **WAVE),
    "interleaved serpentines": lantern_layout("serpentine", stacking="interleaved", **WAVE),
}


def brute(layout: Layout, phase: int, samples: int = 14) -> tuple[np.ndarray, np.ndarray]:
    """Electrical angles over half a period, and the phase's EMF by brute force there."""
    electrical = (np.arange(samples) + 0.5) * pi / samples
    rotor = electrical / layout.carrier.pole_pairs
    return electrical, brute_force.emf(filaments_document(layout), rotor, phase)


@pytest.mark.parametrize("phase", [1, 2])
@pytest.mark.parametrize("name", MACHINES)
def test_every_phase_against_brute_force(name: str, phase: int) -> None:
    layout = MACHINES[name]
    electrical, found = brute(layout, phase)
    rms = float(np.sqrt(np.mean(found**2)))
    ours = waveform(layout, phase)
    assert ours.rms == pytest.approx(rms, rel=TOLERANCE)
    assert np.sqrt(np.mean((ours.at(electrical) - found) ** 2)) < TOLERANCE * rms


@pytest.mark.parametrize("name", ["9 wedges before 8", "layered serpentines"])
def test_lines_against_brute_force(name: str) -> None:
    """Star: the difference of two phases, point by point."""
    layout = MACHINES[name]
    electrical, first = brute(layout, 0)
    _, second = brute(layout, 1)
    line = machine_emf(layout).lines[0].at(electrical)
    assert np.sqrt(np.mean((line - (first - second)) ** 2)) < TOLERANCE * np.sqrt(np.mean(line**2))


@pytest.mark.parametrize("name", [name for name in MACHINES if "serpentine" not in name])
def test_balanced_phases(name: str) -> None:
    """Equal harmonics, each a third of its own period after the other, one way around or the other."""
    phases = [waveform(MACHINES[name], phase) for phase in range(3)]
    phasors = np.array([p.amplitudes * np.exp(1j * p.angles) for p in phases])
    orders, scale = phases[0].orders, abs(phasors[0, 0])
    np.testing.assert_allclose(np.abs(phasors[1:]), np.abs(phasors[[0, 0]]), atol=1e-9 * scale)
    way = np.sign(np.angle(phasors[1, 0] / phasors[0, 0]))
    turned = phasors[0] * np.exp(2j * pi / 3 * way * orders)
    np.testing.assert_allclose(phasors[1], turned, atol=1e-9 * scale)


def test_layers_lie_at_their_own_heights() -> None:
    """The lowest layer gets most. Halves at the same mean height come closer, but not quite: the field falls ever more
    slowly, so the phase that lies lowest and highest gets most of the three."""
    layered = [waveform(MACHINES["layered serpentines"], phase).rms for phase in range(3)]
    woven = [waveform(MACHINES["interleaved serpentines"], phase).rms for phase in range(3)]
    assert layered[0] > 1.2 * layered[1] > 1.2**2 * layered[2]
    assert woven[0] > woven[1] > woven[2]
    assert woven[0] / woven[2] - 1 < (layered[0] / layered[2] - 1) / 3
    alone = lantern_layout("serpentine", turns=4, height=0.002, air_gap=0.0035)
    assert layered[1] == pytest.approx(waveform(alone).rms, rel=1e-4)


@pytest.mark.parametrize("name", ["9 wedges before 8", "12 wedges before 10", "6 rounds before 8"])
def test_star_and_delta(name: str) -> None:
    """Between lines in star √3 of a phase's harmonics, in delta its own; without the triplen ones in both."""
    layout = MACHINES[name]
    phase, line = waveform(layout), machine_emf(layout).lines[0]
    triplen = phase.orders % 3 == 0
    np.testing.assert_allclose(
        np.abs(line.amplitudes[~triplen]), sqrt(3) * np.abs(phase.amplitudes[~triplen]), rtol=1e-9
    )
    assert np.abs(line.amplitudes[triplen]).max() < 1e-9 * np.abs(phase.amplitudes[0])
    figures = evaluate(layout)
    kept = sqrt(float(np.sum(phase.amplitudes[~triplen] ** 2)) / 2)
    assert figures.emf_line_rms_V == pytest.approx(sqrt(3) * kept, rel=1e-7)
    assert figures.emf_line_rms_V <= sqrt(3) * figures.emf_rms_V * (1 + 1e-7)
    delta = evaluate(replace(layout, winding=replace(layout.winding, connection="delta")))
    assert delta.emf_rms_V == figures.emf_rms_V
    assert delta.emf_line_rms_V == pytest.approx(kept, rel=1e-7)


@pytest.mark.parametrize(("coils", "poles"), [(9, 8), (6, 8), (12, 10), (12, 8), (9, 10), (12, 14), (8, 8)])
def test_thin_wedges_have_the_handbook_s_winding_factor(coils: int, poles: int) -> None:
    """One thin turn whose legs run along the sectors' edges, with hardly any corners."""
    phases = 1 if coils == poles else 3
    layout = lantern_layout(
        "wedge", count=poles, magnet=SMALL, phases=phases, coils=coils, turns=1, width=0.2e-3, height=0.2e-3,
        peg_radius=1e-5, wire=Wire(diameter=0.1e-3), inner_radius=0.02, outer_radius=0.054,
    )  # fmt: skip
    # the arcs inside and outside lie where there is hardly any field; legs stand half a wire off the edge
    assert machine_emf(layout).winding_factor == pytest.approx(handbook_winding_factor(coils, poles, phases), abs=0.01)


def test_a_thick_bundle_loses_what_the_handbook_does_not_know() -> None:
    """The actual spread of turns counts: the same coils with a wide bundle have a lower factor."""
    thin, thick = (
        machine_emf(layout).winding_factor
        for layout in (
            lantern_layout("wedge", phases=3, coils=9, turns=24, width=width, outer_radius=0.052)
            for width in (0.5e-3, 6e-3)
        )
    )
    assert thick is not None
    assert thin is not None
    assert thick < 0.9 * thin < handbook_winding_factor(9, 8, 3)


def test_phases_share_the_wire_and_the_power() -> None:
    """Figures: resistance of one phase, wire and matched power of all three."""
    figures, layout = evaluate(MACHINES["9 wedges before 8"]), MACHINES["9 wedges before 8"]
    assert figures.layout.coils == 9
    per_phase = figures.resistance_ohm / layout.winding.wire.resistance_per_metre
    assert figures.wire_length_m == pytest.approx(3 * per_phase, rel=1e-6)
    power = 3 * figures.emf_rms_V**2 / (4 * figures.resistance_ohm)
    assert figures.matched_power_W == pytest.approx(power, rel=1e-6)
