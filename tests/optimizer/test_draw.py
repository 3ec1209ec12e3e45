"""The draw of a converter that charges fastest, the cliff above it, and the speed to reach before plugging in."""

from dataclasses import replace

import pytest
from layouts import lantern_layout
from rigs import crank_rig, pump_rig

from optimizer.circuit.loads import BridgeResistor, UsbConverter
from optimizer.circuit.loads.load import steady_state
from optimizer.circuit.thevenin import thevenin_of
from optimizer.documents.study_document import run_document, study_document
from optimizer.loads.load_study import study_load
from optimizer.rigs.drivetrain import rotor_of
from optimizer.rigs.hand_drive import best_draw, drive, drive_layout
from optimizer.rigs.rig import Flywheel, GearStage, Rig
from optimizer.words.draw_words import draw_values
from optimizer.words.drive_words import findings
from optimizer.words.load_words import best_words
from optimizer.words.wording import number

LAYOUT = lantern_layout(turns=120)
USB = UsbConverter(least_input=3.0, efficiency=0.85, drop=0.35, most_watts=5.0)
PUMPED = pump_rig(
    gears=(GearStage(driver_teeth=60, driven_teeth=20),), flywheel=Flywheel(inertia_given=0.002)
)


def test_at_a_steady_speed_it_is_the_most_that_does_not_sink_the_input():
    study = study_load(LAYOUT, USB, speed_rpm=2400)
    draw, source = study.draw, study.source
    assert draw is not None
    assert draw.cliff == draw.watts
    below, above = (
        steady_state(source, replace(USB, most_watts=share * draw.watts), 2400) for share in (0.97, 1.02)
    )
    assert below.full
    assert below.load_watts == pytest.approx(0.97 * draw.watts, rel=1e-3)
    assert not above.full
    assert above.load_watts == pytest.approx(draw.beyond, rel=1e-6)
    assert above.load_watts < 0.9 * draw.watts
    assert study_document(study)["best_draw_W"] == pytest.approx(draw.watts, rel=1e-6)
    assert "It charges fastest with a draw of" in best_words(study)


@pytest.mark.slow
def test_a_draw_that_is_held_says_from_what_speed_on():
    modest = replace(USB, most_watts=0.2)
    study = study_load(LAYOUT, modest, speed_rpm=1200)
    assert study.draw is not None
    assert study.draw.set_rpm is not None
    below, above = (steady_state(study.source, modest, share * study.draw.set_rpm) for share in (0.98, 1.02))
    assert (below.full, above.full) == (False, True)
    assert "may draw more" in best_words(study)


def test_no_cliff_where_the_least_input_is_above_the_best():
    study = study_load(LAYOUT, replace(USB, least_input=6.0), speed_rpm=1200)
    assert study.draw is not None
    assert study.draw.cliff is None
    assert study.draw.watts == study.draw.beyond
    assert "More draw never brings less here" in best_words(study)


@pytest.mark.slow
@pytest.mark.parametrize("rig", [PUMPED, crank_rig(gears=(GearStage(driver_teeth=400, driven_teeth=10),))])
def test_a_hand_holds_the_best_draw_and_falls_off_the_cliff(rig: Rig):
    source, rotor = thevenin_of(LAYOUT), rotor_of(LAYOUT)
    draw = best_draw(source, USB, rig, rotor)
    assert draw is not None
    assert draw.cliff is not None
    assert 1 < draw.cliff / draw.watts <= 1.05
    held = drive(source, replace(USB, most_watts=draw.watts), rig, rotor, 40.0).settled
    assert held.load_watts == pytest.approx(draw.watts, rel=0.02)
    assert held.hand_watts == pytest.approx(draw.hand, rel=0.05)
    assert held.least_rpm > draw.plug_rpm / 1.02
    fallen = drive(source, replace(USB, most_watts=1.3 * draw.watts), rig, rotor, 40.0).settled
    assert fallen.load_watts == pytest.approx(draw.beyond, rel=0.05)
    assert fallen.load_watts < draw.watts


@pytest.mark.slow
def test_a_run_tells_it():
    run = drive_layout(LAYOUT, USB, PUMPED, 10.0)
    assert run.draw is not None
    said = " ".join(findings(run)).replace("\u00a0", " ")
    assert f"It charges fastest with a draw of {run.draw.watts:.3g} W" in said
    assert "Above it is a cliff" in said
    assert f"Reach {number(run.draw.plug_rpm)} rpm before you plug it in" in said
    assert run_document(run)["best_draw_W"] == pytest.approx(run.draw.watts)


def test_of_other_loads_and_without_output_there_is_none():
    source, rotor = thevenin_of(LAYOUT), rotor_of(LAYOUT)
    assert best_draw(source, BridgeResistor(ohms=10, drop=0.3), PUMPED, rotor) is None
    assert best_draw(source, replace(USB, least_input=300.0), PUMPED, rotor) is None
    assert set(draw_values(None).values()) == {None}
