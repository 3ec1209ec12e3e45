"""Each kind of load answers for itself: its file, form, words, curve and dangers come from its own row alone."""

from pathlib import Path

import pytest
from layouts import lantern_layout

from geometry.files.schema import file_keys
from geometry.machine.speed import rad_s_of
from optimizer.answers.forms import forms
from optimizer.circuit.load_hazard import Stress
from optimizer.circuit.loads import KINDS, Led, kind_of
from optimizer.circuit.loads.load import BridgeLoad, steady_state
from optimizer.documents.study_document import study_document
from optimizer.loads.load_file import keys_of, load_from_text, load_text
from optimizer.loads.load_study import LoadStudy, study_load
from optimizer.terminal.printed_study import study_lines
from optimizer.words.loads import load_caution, words_of

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
LIGHT = Led(forward_volts=6.0, dynamic_ohms=10.0, strings=2, drop=0.3)


def example(kind: str) -> str:
    """The file of a kind, of the values that its form starts from."""
    rows = [
        f"{own.name} = {own.words['example']}"
        for own in file_keys(KINDS[kind]).values()
        if own.name in keys_of(kind)[0]
    ]
    return "\n".join(["[load]", f'kind = "{kind}"', *rows]) + "\n"


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_is_read_written_told_and_asked_for(kind: str):
    load = load_from_text(example(kind), "my.toml")
    assert kind_of(load) == kind
    assert load_from_text(load_text(load), "again.toml") == load
    words = words_of(load)
    assert words.brief(load)
    assert words.beside(load)
    assert words.threshold(load)
    assert (load.bridge is not None) == isinstance(load, BridgeLoad)
    assert all(load_caution(hazard) for hazard in load.hazards(Stress(peak=100.0, rpm=400.0, volts=20.0)))
    assert f'| `"{kind}"` |' in README
    assert kind in str(forms())


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_is_studied(kind: str):
    study = study_load(lantern_layout("wedge"), load_from_text(example(kind), "my.toml"))
    assert study_lines(study)
    assert study_document(study)["load"]["kind"] == kind
    if study.curve:
        point = steady_state(study.source, study.load.variant(study.curve.best), study.point.speed_rpm)
        assert point.load_watts == pytest.approx(study.curve.best_point.load_watts, rel=1e-9)


@pytest.fixture(scope="module")
def lit() -> LoadStudy:
    """LEDs on the lantern."""
    return study_load(lantern_layout("wedge"), LIGHT)


def test_each_string_has_its_share(lit: LoadStudy):
    assert lit.details == {"string_A": pytest.approx(lit.point.dc_amps / 2)}
    assert study_document(lit)["point"]["string_A"] == pytest.approx(lit.point.dc_amps / 2, rel=1e-6)
    assert "Each string" in "\n".join(study_lines(lit))


def test_light_begins_where_the_peak_reaches_the_leds_and_two_diodes(lit: LoadStudy):
    assert rad_s_of(lit.cut_in_rpm) * lit.source.peak_constant == pytest.approx(6.6, rel=1e-3)
    assert "Light begins" in "\n".join(study_lines(lit))


def test_strings_side_by_side_are_one_of_less_resistance(lit: LoadStudy):
    one = study_load(lit.layout, Led(forward_volts=6.0, dynamic_ohms=5.0, drop=0.3))
    assert lit.point.load_watts == pytest.approx(one.point.load_watts, rel=1e-9)


def test_a_longer_string_has_more_resistance():
    assert LIGHT.variant(12.0) == Led(forward_volts=12.0, dynamic_ohms=20.0, strings=2, drop=0.3)
