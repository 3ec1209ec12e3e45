"""Thin steel and the model's error stand beside the figures of load, drive and compare."""

from math import pi
from pathlib import Path

import pytest
from click.testing import CliRunner
from layouts import lantern_layout
from shown import load_page

from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_text
from optimizer.circuit.loads import BridgeResistor
from optimizer.commands.polepitch import polepitch
from optimizer.documents.study_document import study_document
from optimizer.evaluation.chain import evaluate, plate_document
from optimizer.loads.load_study import LoadStudy, study_load
from optimizer.terminal.printed_study import study_lines
from optimizer.words.machine_words import machine_notes


def on_steel(plate_mm: float) -> Layout:
    return lantern_layout("wedge", plate=plate_mm * 1e-3)


@pytest.fixture(scope="module")
def thin() -> LoadStudy:
    return study_load(on_steel(0.8), BridgeResistor(ohms=10.0, drop=0.35))


def test_thin_steel_says_what_it_leaves() -> None:
    figures = evaluate(on_steel(0.8))
    assert figures.plate_derating is not None
    assert 0.7 < figures.plate_derating < 0.99
    words = " ".join(machine_notes(figures)).replace("\u00a0", " ")
    assert "less than the" in words
    assert f"it gives {100 * figures.plate_derating:.1f} % of the volts of a thick plate" in words
    assert f"({figures.emf_rms_V:.3g} V rms, nine times in ten" in words


def test_enough_steel_takes_nothing_off() -> None:
    words = " ".join(machine_notes(evaluate(on_steel(6))))
    assert "carries their flux" in words
    assert "nine times in ten" not in words


def test_load_counts_with_the_volts_to_expect(thin: LoadStudy) -> None:
    figures = evaluate(on_steel(0.8))
    assert thin.source.peak_constant * thin.point.speed_rpm * pi / 30 == pytest.approx(figures.emf_peak_V, rel=1e-6)
    assert study_document(thin)["plate"] == plate_document(figures)


def test_load_prints_the_notes_in_text_and_page(thin: LoadStudy) -> None:
    lines, page = study_lines(thin), load_page(thin)
    assert set(machine_notes(thin.figures)) <= set(lines)
    assert "of steel is less than the" in page


RIG = """
[mechanism.crank]
arm_mm = 100
[mover]
cadence_per_minute = 60
[load]
kind = "resistor"
resistance_ohm = 30
"""


@pytest.mark.slow
@pytest.mark.parametrize(
    "words", [("drive", "thin.toml", "rig.toml", "--seconds", "2"), ("compare", "thin.toml")]
)
def test_drive_and_compare_print_the_notes(
    words: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "thin.toml").write_text(layout_text(on_steel(0.8)), "utf-8")
    (tmp_path / "rig.toml").write_text(RIG, "utf-8")
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(polepitch, [*words, "--out", "made"])
    assert done.exit_code == 0, done.output
    page = (tmp_path / "made" / f"{words[0]}.html").read_text("utf-8")
    assert all("of the volts of a thick plate" in text.replace("\u00a0", " ") for text in (done.output, page))
