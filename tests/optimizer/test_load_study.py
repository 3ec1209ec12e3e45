"""Meters, curves, matching, warming and wire losses of a layout with a load."""

import json
from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest
from layouts import lantern_layout

from geometry.stock.wire import Wire
from optimizer.circuit.loads import (
    BridgeBattery,
    BridgeCapacitor,
    BridgeResistor,
    OpenCircuit,
    Resistor,
    UsbConverter,
)
from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.documents.study_document import study_document
from optimizer.evaluation.copper import eddy_watts_per_metre, resistance_rise, skin_depth, wire_losses
from optimizer.evaluation.thermal import cooling_surface, warming
from optimizer.field.emf import waveform
from optimizer.loads.load_curves import load_curve
from optimizer.loads.load_study import match_wire, readings, standard_wires, study_load
from optimizer.loads.load_target import LoadTarget, LoadVerdict
from optimizer.reports.answer_files import study_files
from optimizer.words.load_words import answer_words, best_words, matching_finding, wire_words

ANGLE = np.linspace(0, 2 * pi, 721)


def test_meters_agree_on_a_sine_and_part_on_anything_else():
    sine = readings(10 * np.sin(ANGLE))
    assert sine.average_responding == pytest.approx(10 / sqrt(2), rel=1e-4)
    assert sine.true_rms == pytest.approx(10 / sqrt(2), rel=1e-4)
    assert sine.direct == pytest.approx(0, abs=1e-9)
    square = readings(np.where(np.sin(ANGLE) > 0, 10.0, -10.0))
    assert square.average_responding == pytest.approx(11.107, rel=2e-3)
    assert square.true_rms == pytest.approx(10.0)
    assert readings(np.full(721, 3.0)).direct == pytest.approx(3.0)


def test_the_best_resistor_is_the_source_itself():
    source = TheveninSource(
        name="x", pole_pairs=4, orders=np.array([1.0]), flux_constants=np.array([0.1]), resistance=7.0, inductance=0.0,
    )  # fmt: skip
    curve = load_curve(source, Resistor(ohms=1.0), 600.0)
    assert curve is not None
    assert curve.best == pytest.approx(7.0, rel=2e-3)
    assert curve.best_point.load_watts == pytest.approx((0.1 * 20 * pi) ** 2 / 8 / 7, rel=1e-5)


def test_a_curve_of_volts_ends_at_the_peak_and_peaks_between():
    source = thevenin_of(lantern_layout("wedge"))
    curve = load_curve(source, BridgeBattery(volts=1.0, ohms=0.0, drop=0.35), 900.0)
    assert curve is not None
    assert 0.3 < curve.best / curve.values[-1] < 0.6
    assert curve.points[-1].load_watts < 0.01 * curve.best_point.load_watts
    assert load_curve(source, UsbConverter(least_input=4.0, efficiency=0.8, drop=0.8), 100.0) is None


def test_volts_squared_per_ohm_hardly_depend_on_the_wire():
    layout = lantern_layout("wedge", fill_factor=0.5)
    source = thevenin_of(layout)
    matched = match_wire(
        layout, source, Resistor(ohms=10.0), speed_rpm=400.0, temperature=20.0,
        wires=tuple(w for w in standard_wires(1) if 0.2e-3 <= w.diameter <= 0.5e-3),
    )  # fmt: skip
    worth = np.array([choice.emf_rms**2 / choice.resistance for choice in matched.choices])
    assert np.ptp(worth) < 0.12 * worth.mean()
    assert matched.chosen.resistance == min(
        (c.resistance for c in matched.choices), key=lambda r: abs(np.log(r / 10))
    )


@pytest.mark.parametrize(("connection", "share"), [("star", 2), ("delta", 2 / 3)])
def test_volts_and_ohms_of_three_phases_are_of_the_same_two_terminals(connection: str, share: float):
    layout = lantern_layout("wedge", phases=3, coils=9, turns=40, connection=connection)
    phase = waveform(layout)
    alone = 1.5 * (phase.amplitudes**2)[phase.orders % 3 != 0].sum() / 2
    wire = layout.winding.wire
    matched = match_wire(
        layout, thevenin_of(layout), OpenCircuit(), speed_rpm=layout.speed_rpm, temperature=20.0, wires=(wire,)
    )
    choice = matched.chosen
    assert choice.terminal_resistance == pytest.approx(share * choice.resistance)
    of_phase = alone * (choice.turns / layout.winding.turns) ** 2 / choice.resistance
    assert choice.emf_rms**2 / choice.terminal_resistance == pytest.approx(of_phase)


def test_scaled_from_its_own_winding_a_wire_is_as_computed_afresh():
    layout = lantern_layout("wedge")
    matched = match_wire(
        layout, thevenin_of(layout), Resistor(ohms=10.0), speed_rpm=400.0, temperature=50.0,
        wires=(Wire(diameter=0.4e-3),),
    )  # fmt: skip
    choice = matched.chosen
    wound = replace(layout, winding=replace(layout.winding, wire=choice.wire, turns=choice.turns))
    afresh = thevenin_of(wound, 50.0)
    assert choice.resistance == pytest.approx(afresh.resistance, rel=1e-9)
    assert choice.emf_rms == pytest.approx(afresh.emf_constant * 400 * pi / 30, rel=5e-3)


def test_a_wire_too_thick_for_the_bundle_is_refused():
    layout = lantern_layout("wedge", width=0.0008, height=0.0008, turns=4)
    with pytest.raises(ValueError, match="a wire must fit the bundle at least once, none did"):
        match_wire(
            layout, thevenin_of(layout), Resistor(ohms=1.0), speed_rpm=400.0, temperature=20.0,
            wires=(Wire(diameter=1e-3),),
        )  # fmt: skip


@pytest.mark.slow
def test_wires_that_serve_alike_are_told_as_ties():
    study = study_load(
        lantern_layout("wedge"), UsbConverter(least_input=0.9, efficiency=0.8, drop=0.35, most_watts=0.05),
        speed_rpm=900.0,
    )  # fmt: skip
    alike = study.matching.alike
    assert len(alike) > 2
    assert all(choice.point.load_watts == pytest.approx(0.05, rel=1e-2) for choice in alike)
    title = matching_finding(study.matching)
    assert title.startswith(f"{len(alike)} wires from {alike[0].wire.diameter_mm:g} to ")
    assert "the most" not in title
    # it gets all it takes as it is wound: nothing to gain by winding anew
    assert study.point.full
    assert wire_words(study).endswith("filled with another wire it would give no more.")
    wrong = replace(study, point=replace(study.point, load_watts=0.01))
    assert f"{len(alike)} wires from" in wire_words(wrong)


@pytest.mark.slow
def test_advice_that_brings_less_than_a_per_cent_is_not_given():
    layout = lantern_layout("wedge")
    study = study_load(layout, Resistor(ohms=10.0))
    best = study.matching.chosen
    wound = replace(layout, winding=replace(layout.winding, wire=best.wire, turns=best.turns))
    assert "it would give no more" in wire_words(study_load(wound, Resistor(ohms=10.0)))
    assert f"Filled with {best.wire.diameter_mm:g} mm wire" in wire_words(study)
    matched = study_load(layout, Resistor(ohms=study.curve.best))
    assert best_words(matched).endswith("this one gets as much within 1 %.")
    assert "as much" not in best_words(study_load(layout, Resistor(ohms=10 * study.curve.best)))


def test_of_layouts_that_give_alike_none_is_said_to_give_the_most():
    usb = UsbConverter(least_input=0.9, efficiency=0.8, drop=0.35, most_watts=0.05)
    target = LoadTarget(kind="load_power", load=usb)
    verdict = LoadVerdict(
        target=target, value=0.05, watts=0.05, limit=None, peak=9.0, cut_in_rpm=100.0, alike=4, tried=8
    )
    assert "as do 3 more of 8 tried" in answer_words(verdict, 400.0)
    assert "the most of all tried" in answer_words(replace(verdict, alike=1), 400.0)


def test_warming():
    layout = lantern_layout("round")
    found = warming(layout, 0.5)
    assert found.surface == pytest.approx(8 * 2 * pi * 0.008 * (0.004 + 0.005), rel=1e-6)
    assert found.rise == pytest.approx(0.5 / (10 * cooling_surface(layout)))
    assert found.minimum < found.rise < found.maximum


def test_skin_and_eddy_effects_are_small_and_grow_as_they_should():
    assert skin_depth(266.7) == pytest.approx(4.05e-3, rel=1e-2)  # at 58 MS/m 4.05 mm
    assert resistance_rise(1e-3, 266.7) < 1e-5
    assert eddy_watts_per_metre(1e-3, 30.0) == pytest.approx(16 * eddy_watts_per_metre(0.5e-3, 30.0))
    thin, thick = (
        wire_losses(lantern_layout("wedge", wire=Wire(diameter=d)), 400.0) for d in (0.2e-3, 0.4e-3)
    )
    assert thick.eddy_watts == pytest.approx(16 * thin.eddy_watts, rel=1e-6)
    assert 0 < thick.eddy_watts < 0.01
    assert wire_losses(lantern_layout("wedge"), 800.0).eddy_watts == pytest.approx(
        4 * wire_losses(lantern_layout("wedge"), 400.0).eddy_watts
    )


def test_eddy_loss_of_a_wire_against_the_integral_over_its_section():
    """J = ω B x/ρ across a round section of radius a, mean of the square over time: ∫ J² ρ/2 dA."""
    radius, rate, conductivity = 0.3e-3, 50.0, 58.5e6
    x = (np.arange(4000) + 0.5) / 4000 * 2 * radius - radius
    strip = 2 * np.sqrt(radius**2 - x**2) * (x[1] - x[0])
    expected = float(np.sum((rate * x) ** 2 * conductivity / 2 * strip))
    assert eddy_watts_per_metre(2 * radius, rate) == pytest.approx(expected, rel=1e-3)


@pytest.mark.slow
@pytest.mark.parametrize(
    "load",
    [
        OpenCircuit(),
        Resistor(ohms=10.0),
        BridgeResistor(ohms=10.0, drop=0.35),
        BridgeCapacitor(ohms=10.0, farads=1e-3, drop=0.35),
        BridgeBattery(volts=1.2, ohms=0.1, drop=0.35),
        UsbConverter(least_input=0.9, efficiency=0.8, drop=0.35, most_watts=0.05),
        UsbConverter(least_input=90.0, efficiency=0.8, drop=0.35),
    ],
    ids=lambda load: type(load).__name__,
)
def test_a_study_of_every_load_has_words_and_numbers(load):
    study = study_load(lantern_layout("wedge"), load, speed_rpm=900.0, temperature=60.0)
    values = json.loads(json.dumps(study_document(study), allow_nan=False))
    assert values["source"]["resistance_ohm"] == pytest.approx(10.405 * 1.1572, rel=1e-3)
    assert best_words(study).endswith(".")
    assert wire_words(study).endswith(".")


@pytest.mark.slow
def test_files_of_a_study_are_whole_and_the_same_again():
    study = study_load(
        lantern_layout("round"), BridgeCapacitor(ohms=10.0, farads=1e-3, drop=0.35), speed_rpm=1200.0
    )
    files = study_files(study)
    assert {
        "load.html",
        "load.json",
        "load.toml",
        "by_load.csv",
        "by_speed.csv",
        "by_wire.csv",
    } <= files.keys()
    for name in ("waveforms", "losses", "by_load", "by_speed", "by_wire"):
        assert files[f"{name}.png"].startswith(b"\x89PNG")
        assert b"<svg" in files[f"{name}.svg"]
    page = files["load.html"].decode()
    assert "Cells need a regulator" in page
    assert '="http' not in page
    assert study_files(study)["load.html"] == files["load.html"]
