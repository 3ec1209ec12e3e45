"""Eddy currents in thick wire: in shaft power, torque and efficiency, told where they matter, with what helps."""

import json
from dataclasses import replace
from math import pi

import pytest

from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_from_text
from optimizer.circuit.loads import BridgeResistor, OpenCircuit, Resistor
from optimizer.circuit.thevenin import thevenin_of
from optimizer.documents.study_document import study_document
from optimizer.loads.load_curves import load_curve
from optimizer.loads.load_study import match_wire, study_load
from optimizer.words.load_words import matching_finding, note_words, point_rows
from optimizer.words.machine_words import machine_notes

THICK = """
title = "Twelve coils of thick wire"
[space]
outer_diameter_mm = 110
bore_diameter_mm = 10
wall_mm = 0.5
[carrier]
count = 16
pitch_radius_mm = 40
[carrier.magnet]
shape = "block"
length_mm = 20
width_mm = 10
thickness_mm = 5
grade = "N52"
[winding]
topology = "wedge"
phases = 3
coils = 12
inner_radius_mm = 26
outer_radius_mm = 54
width_mm = 6
height_mm = 13
turns = 50
peg_diameter_mm = 1
fill_factor = 0.75
[winding.wire]
diameter_mm = 1.0
enamel_grade = 1
[operation]
air_gap_mm = 1
speed_rpm = 300
"""
LOAD = Resistor(ohms=10.0)


@pytest.fixture(scope="module")
def layout() -> Layout:
    return layout_from_text(THICK, "thick")


def test_the_shaft_brings_them_too(layout: Layout):
    study = study_load(layout, LOAD)
    point, document = study.point, json.loads(json.dumps(study_document(study)))
    assert point.eddy_watts == pytest.approx(study.losses.eddy_watts)
    assert 0.2 < point.eddy_watts < 0.4  # a sum over the field, by itself, gave 0.28 W
    parts = point.load_watts + point.copper_watts + point.diode_watts + point.converter_watts
    assert point.shaft_watts == pytest.approx(parts + point.eddy_watts)
    assert point.torque * 300 * pi / 30 == pytest.approx(point.shaft_watts)
    assert point.efficiency == pytest.approx(point.load_watts / point.shaft_watts)
    assert point.efficiency < 0.5
    for name in ("shaft_W", "load_W", "eddy_W", "efficiency"):
        assert document[name] == document["point"][name]
    assert study.warming.rise * 10 * study.warming.surface == pytest.approx(
        point.copper_watts + point.eddy_watts
    )


def test_told_with_what_helps(layout: Layout):
    study = study_load(layout, LOAD)
    rows = {name: f"{value} {remark}" for name, value, remark in point_rows(study)}
    assert "59\u00a0% of what the shaft brings" in rows["Lost in eddy currents"]
    words = note_words(study)[0]
    assert "four wires of 0.5 mm wound in hand" in words
    fine = layout.winding.wire
    thin = replace(layout, winding=replace(layout.winding, wire=replace(fine, diameter=0.2e-3)))
    study = study_load(thin, LOAD)
    assert note_words(study) == machine_notes(study.figures)


@pytest.mark.slow
def test_no_share_of_the_shaft_beyond_the_whole(layout: Layout):
    for load in (OpenCircuit(), Resistor(ohms=1e6), BridgeResistor(ohms=30.0, drop=0.8), LOAD):
        point = study_load(layout, load, speed_rpm=600.0).point
        parts = (point.load_watts, point.copper_watts, point.diode_watts, point.eddy_watts)
        assert 0 < max(parts) <= point.shaft_watts
        assert sum(parts) == pytest.approx(point.shaft_watts)
        assert point.torque > 0


def test_with_thinner_wire_they_shrink(layout: Layout):
    source = thevenin_of(layout)
    matched = match_wire(
        layout, source, LOAD, speed_rpm=300.0, temperature=20.0,
        wires=tuple(replace(layout.winding.wire, diameter=size * 1e-3) for size in (0.2, 0.5, 1.0)),
    )  # fmt: skip
    for choice in matched.choices:
        wound = replace(layout, winding=replace(layout.winding, wire=choice.wire, turns=choice.turns))
        assert choice.point.eddy_watts == pytest.approx(
            thevenin_of(wound).eddy * (10 * pi) ** 2, rel=1e-6
        )
    curve = load_curve(source, LOAD, 300.0)
    assert curve is not None
    assert all(point.eddy_watts == curve.points[0].eddy_watts > 0 for point in curve.points)
    assert matching_finding(matched)
