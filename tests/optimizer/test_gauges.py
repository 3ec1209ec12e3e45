"""Wire by American gauge, from every file that names one to every answer; both sizes are told."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from layouts import lantern_layout
from terminal import run

from geometry.drawing.layout_drawing import draw_layout
from geometry.drawing.primitives import Text
from geometry.files.reading import FileFaults
from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_from_text, layout_text
from geometry.stock.wire import AWG, Wire
from geometry.stock.wire_words import enamel_words, wire_mm, wire_size
from optimizer.brief.brief import brief_from_text, brief_text
from optimizer.building.parts_list import parts_list
from optimizer.building.winding_card import winding_card
from optimizer.evaluation.chain import evaluation
from optimizer.motors.motor_file import rewind_from_text
from optimizer.reports.report import card_html
from optimizer.words.figure_catalogue import build_sentence, machine_groups

BRIEF = """\
[space]
outer_diameter_mm = 110
bore_diameter_mm = 30
[speed]
rpm = 400
[[magnets]]
diameter_mm = 15
thickness_mm = 4
remanence_T = 1.3
[wire]
{}
length_m = 60
"""
MOTOR = """\
[motor]
{}
turns = 24
mean_turn_mm = 40
volts = 1.2
rpm = 3000
[turning]
shaft_rpm = 3000
[rewind]
{}
"""

def gauged(gauge: int = 30) -> Layout:
    return lantern_layout(wire=Wire(diameter=AWG[gauge]))


def faults(text: str) -> str:
    """The fault of a brief, a layout or a motor, without the file's name and line."""
    read = rewind_from_text if "[motor]" in text else layout_from_text if "[winding]" in text else brief_from_text
    with pytest.raises(FileFaults) as caught:
        read(text, "file")
    return str(caught.value).split(": ", 1)[1]


def test_a_brief_lists_gauges_beside_millimetres_or_in_their_place() -> None:
    both = brief_from_text(BRIEF.format("diameters_mm = [0.3]\nawg = [24, 30]"), "b")
    assert both.wires == (Wire(diameter=0.3e-3), Wire(diameter=AWG[24]), Wire(diameter=AWG[30]))
    alone = brief_from_text(BRIEF.format("awg = [24]\nenamel_grade = 2"), "b")
    assert alone.wires == (Wire(diameter=AWG[24], grade=2),)
    for brief in (both, alone):
        assert brief_from_text(brief_text(brief), "b") == brief
    assert "awg = [24, 30]" in brief_text(both)
    assert "diameters_mm" not in brief_text(alone)


def test_a_layout_takes_a_gauge_and_is_written_in_millimetres_that_say_so() -> None:
    written = layout_text(gauged())
    line = next(line for line in written.splitlines() if line.startswith("diameter_mm = 0.25"))
    assert line.startswith("diameter_mm = 0.254")
    assert line.endswith("# bare copper, AWG 30")
    assert layout_from_text(written, "l") == gauged()
    assert layout_from_text(written.replace(line, "awg = 30"), "l") == gauged()


def test_a_motor_takes_gauges() -> None:
    brief = rewind_from_text(MOTOR.format("wire_awg = 22", "wires_awg = [28, 32]"), "m")
    assert brief.motor.diameter == AWG[22]
    assert [wire.gauge for wire in brief.wires] == [28, 32]
    both = rewind_from_text(MOTOR.format("wire_awg = 22", "wires_mm = [0.3]\nwires_awg = [28]"), "m")
    assert [wire_mm(wire) for wire in both.wires] == ["0.3", "0.321, AWG 28"]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (BRIEF.format("awg = [50]"), "wire.awg[1]: must be at most 44 (AWG 9 is 2.91 mm, AWG 44 is 0.0502 mm), was 50"),
        (BRIEF.format("awg = [24, 8]"),
         "wire.awg[2]: must be a whole number of at least 9 (AWG 9 is 2.91 mm, AWG 44 is 0.0502 mm), was 8"),
        (BRIEF.format("awg = 24"), "wire.awg: must be a list of wire gauges, was 24"),
        (BRIEF.format("diameters_mm = [0.01]"),
         "wire.diameters_mm[1]: must be at least 0.05 (are the units millimetres?), was 0.01"),
        (BRIEF.format("diameters_mm = [0.127]\nawg = [36]"),
         "wire.awg: must name no size that diameters_mm holds, was 36"),
        (BRIEF.format(""), "wire.diameters_mm, wire.awg or [[spools]] must be given, was missing"),
        (MOTOR.format("wire_awg = 22\nwire_diameter_mm = 0.6", ""),
         "motor.wire_awg: must be left out when wire_diameter_mm is given, was 22"),
        (MOTOR.format("wire_awg = 22", "wires_awg = [52]"),
         "rewind.wires_awg[1]: must be at most 44 (AWG 9 is 2.91 mm, AWG 44 is 0.0502 mm), was 52"),
    ],
)  # fmt: skip
def test_a_wrong_size_is_named_with_what_it_must_be(text: str, told: str) -> None:
    assert faults(text) == told


def test_a_layout_has_one_size() -> None:
    text = layout_text(lantern_layout())
    assert faults(text.replace("diameter_mm = 0.25 ", "awg = 30\ndiameter_mm = 0.25 ")) == (
        "winding.wire.awg: must be left out when diameter_mm is given, was 30"
    )
    bare = "\n".join(line for line in text.splitlines() if not line.startswith("diameter_mm = 0.25"))
    assert faults(bare) == "winding.wire: diameter_mm or awg must be given, was missing"


def test_both_sizes_are_told_of_a_gauge_and_one_of_any_other() -> None:
    assert wire_size(Wire(diameter=AWG[24])) == "AWG 24 (0.511 mm)"
    assert wire_size(Wire(diameter=0.5e-3)) == "0.5 mm"
    assert wire_mm(Wire(diameter=0.5106e-3)) == "0.5106"
    assert enamel_words(Wire(diameter=AWG[24])) == "enamel as on 0.56 mm, the standard's next size"
    assert enamel_words(Wire(diameter=0.56e-3)) == ""


def test_drawing_card_parts_and_figures_tell_both() -> None:
    machine = evaluation(gauged())
    card = winding_card(machine)
    named = "AWG 30 (0.255 mm)"
    drawn = [each.text for layer in draw_layout(gauged()).layers for each in layer.primitives if isinstance(each, Text)]
    assert any(named in words for words in drawn)
    shown = card_html("Lantern", (draw_layout(gauged()),), card).replace("\u00a0", " ")
    assert f"enamelled copper, {named} bare" in shown
    assert "(grade 1, enamel as on 0.28 mm, the standard&#39;s next size)" in shown
    parts = parts_list(card, ())
    wire = next(row for row in parts.rows if row.item == "wire")
    assert wire.description == f"enamelled copper, round, {named} bare, grade 1"
    assert wire.remark.endswith("; enamel as on 0.28 mm, the standard's next size")
    told = build_sentence(machine.figures).replace("\u00a0", " ")
    assert f"{named} enamelled wire" in told
    row = next(row for row in machine_groups(machine.figures)["Buy"] if row.key == "wire_length_m")
    assert row.inch.endswith("ft of 10\u00a0mil")
    assert f"of {named} bare".replace(" ", "\u00a0") in row.remark.replace(" ", "\u00a0")


def test_the_terminal_and_its_json_tell_both(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "l.toml").write_text(layout_text(gauged()), encoding="utf-8")
    code, out, _ = run(monkeypatch, capsys, "evaluate", tmp_path / "l.toml")
    assert code == 0
    assert "AWG 30 (0.255 mm)" in out.replace("\u00a0", " ")
    code, out, _ = run(monkeypatch, capsys, "evaluate", tmp_path / "l.toml", "--json")
    assert (code, json.loads(out)["wire_awg"], json.loads(out)["wire_diameter_mm"]) == (0, 30, 0.254639)
