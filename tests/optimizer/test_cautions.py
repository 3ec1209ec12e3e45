"""What bites is told first, by every command and every page: volts, bursting, hot copper, hot magnets, bare cells."""

import json
from collections.abc import Callable
from dataclasses import replace
from math import pi
from pathlib import Path

import pytest
from click.testing import CliRunner
from family import nine_wedges
from layouts import lantern_layout
from rigs import crank_rig
from shown import load_page, report_of

from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_text
from geometry.stock.magnet import DiscMagnet
from geometry.stock.wire import Wire
from optimizer.answers.page_values import flat_layout
from optimizer.answers.preview import preview
from optimizer.building.pack_parts import PackOptions, WillBurst
from optimizer.circuit.loads import BridgeBattery, BridgeResistor, UsbConverter
from optimizer.circuit.loads.load import steady_state
from optimizer.circuit.loads.usb_converter import ConverterInput
from optimizer.circuit.thevenin import thevenin_of
from optimizer.commands.polepitch import polepitch
from optimizer.documents.result_document import contract, result_document
from optimizer.evaluation.chain import evaluate
from optimizer.evaluation.retention import retention
from optimizer.evaluation.thermal import bearable_current, warming
from optimizer.loads import load_study
from optimizer.loads.hazards import layout_hazards, load_hazards
from optimizer.loads.load_study import study_load
from optimizer.packs.build_pack import build_pack
from optimizer.rigs import hand_drive
from optimizer.rigs.drivetrain import rotor_of
from optimizer.rigs.hand_drive import drive
from optimizer.rigs.rig import GearStage
from optimizer.search.result import Entry, Result
from optimizer.words.caution_words import caution_document, caution_lines
from optimizer.words.wording import number

pytestmark = pytest.mark.slow

RIG = """
[mechanism.crank]
arm_mm = 100
[mover]
cadence_per_minute = 60
"""
RESISTOR = '[load]\nkind = "bridge-resistor"\nresistance_ohm = 100\n'
CELL = '[load]\nkind = "bridge-battery"\nvoltage_V = 3.7\n'


def large(**changes: object) -> Layout:
    """A disc of 360 mm at 4500 rpm, far too fast for what holds its magnets."""
    magnet = DiscMagnet.of_grade(diameter=0.04, thickness=0.015, grade="N45")
    space = {"outer_diameter": 0.36, "bore_diameter": 0.02, "wall": 0.002}
    winding = {"inner_radius": 0.12, "outer_radius": 0.178, "width": 0.007, "height": 0.009, "turns": 90}
    machine = {"air_gap": 0.002, "speed_rpm": 4500.0, "title": "Large", "wire": Wire(diameter=0.5e-3)}
    values = space | winding | machine | {"magnet": magnet, "count": 14, "pitch_radius": 0.155}
    return lantern_layout("wedge", **(values | changes))


def kinds(layout: Layout) -> list[str]:
    return [hazard.kind for hazard in layout_hazards(evaluate(layout))]


def asked(tmp_path: Path, *words: str) -> tuple[str, list[dict[str, str]]]:
    """A command's text and, of its JSON, the cautions."""
    said = CliRunner().invoke(polepitch, list(words))
    assert said.exit_code == 0, said.output
    return said.output, json.loads(CliRunner().invoke(polepitch, [*words, "--json"]).output)["cautions"]


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, once: Callable[..., None]) -> Path:
    """Where commands find files; what one works out for its text stands for its JSON too."""
    monkeypatch.chdir(tmp_path)
    once("study_load", load_study, arguments=2)
    once("drive_layout", hand_drive, arguments=4)
    texts = {"large": layout_text(large()), "rig": RIG, "load": RESISTOR, "cell": CELL}
    for name, text in (texts | {"lantern": layout_text(lantern_layout())}).items():
        Path(f"{name}.toml").write_text(text, "utf-8")
    return tmp_path


def test_evaluate_leads_with_what_bites(files: Path) -> None:
    text, told = asked(files, "evaluate", "large.toml")
    assert [row["kind"] for row in told] == ["burst", "high-voltage", "hot-copper"]
    assert text.startswith("! WILL BURST: ")
    assert text.index("DANGEROUS VOLTAGE") < text.index("magnets  ")
    margin = retention(large()).min_margin * 4
    assert f"strength over stress is {margin:.2g}" in text
    assert f"{number(evaluate(large()).emf_peak_V)} V peak" in told[1]["text"]


def test_a_small_slow_machine_has_nothing_that_bites(files: Path) -> None:
    text, told = asked(files, "evaluate", "lantern.toml")
    assert told == []
    assert text.startswith("What it gives")


def test_load_tells_the_current_that_the_enamel_bears(files: Path) -> None:
    text, told = asked(files, "load", "large.toml", "--load", "load.toml")
    assert [row["kind"] for row in told] == ["burst", "high-voltage", "hot-copper"]
    assert "Winding warms by" not in text
    assert f"the enamel bears {bearable_current(large()):.3g}" in text.replace("\u00a0", " ")
    assert text.index("WILL BURST") < text.index("The winding")
    words = ["load", "large.toml", "--load", "load.toml", "--json"]
    found = json.loads(CliRunner().invoke(polepitch, words).output)
    assert found["temperature_rise_K"] is None
    assert found["enamel_bears_A"] == pytest.approx(bearable_current(large()), rel=1e-6)


def test_the_bearable_current_warms_to_what_the_enamel_bears() -> None:
    layout = lantern_layout()
    hot_ohms = thevenin_of(layout, 155.0).resistance
    assert warming(layout, bearable_current(layout) ** 2 * hot_ohms).rise == pytest.approx(135)


@pytest.mark.parametrize(
    "words", [("load", "lantern.toml", "--load"), ("drive", "lantern.toml", "rig.toml", "--load")]
)
def test_a_cell_without_charge_control(files: Path, words: tuple[str, ...]) -> None:
    for load, expected in (("cell.toml", ["cell"]), ("load.toml", [])):
        text, told = asked(files, *words, load)
        assert [row["kind"] for row in told] == expected
        assert ("! NO CHARGE CONTROL: " in text) == bool(expected)


def test_drive_tells_all(files: Path) -> None:
    text, _ = asked(files, "drive", "lantern.toml", "rig.toml", "--load", "cell.toml")
    assert text.index("NO CHARGE CONTROL") < text.index("from the hand")
    for title in (
        "What turns stores",
        "Guard what turns",
        "high voltages",
        "Cells need a regulator",
        "Rules where",
    ):
        assert title in text
    assert "The most in this run is" not in text


def test_drive_tells_the_volts_of_the_ends_unplugged(files: Path) -> None:
    slow = large(speed_rpm=100.0)
    Path("large.toml").write_text(layout_text(slow), "utf-8")
    Path("rig.toml").write_text(RIG + "[[gears]]\ndriver_teeth = 100\ndriven_teeth = 10\n", "utf-8")
    text, told = asked(files, "drive", "large.toml", "rig.toml", "--load", "load.toml")
    assert "high-voltage" in [row["kind"] for row in told]
    assert "peak between the ends with nothing joined" in text


def test_compare_names_the_machine(files: Path) -> None:
    text, told = asked(files, "compare", "lantern.toml", "large.toml", "--rpm", "4500")
    assert {row["kind"] for row in told if row["machine"] == "Large"} >= {"burst", "high-voltage"}
    assert "! Large: WILL BURST" in text


def test_rewind_tells_high_volts(files: Path) -> None:
    motor = (Path(__file__).parents[1] / "common_practice" / "motor.toml").read_text("utf-8")
    assert "shaft_rpm = 600" in motor
    Path("motor.toml").write_text(motor.replace("shaft_rpm = 600", "shaft_rpm = 30000"), "utf-8")
    text, told = asked(files, "rewind", "motor.toml")
    assert [row["kind"] for row in told] == ["high-voltage"]
    assert text.index("DANGEROUS VOLTAGE") < text.index("Wind 3 coils")


def test_template_makes_no_parts_of_a_machine_that_bursts(files: Path) -> None:
    done = CliRunner().invoke(polepitch, ["template", "large.toml", "--out", "pack"])
    assert done.exit_code
    assert "operation.speed_rpm must be below" in done.output
    assert "--even-so" in done.output
    assert not (files / "pack").exists()


def test_even_so(files: Path) -> None:
    with pytest.raises(WillBurst):
        build_pack(large(), PackOptions())
    pack = build_pack(large(), PackOptions(even_so=True))
    assert "carrier.stl" in pack.files
    readme, report = (pack.files[name].decode() for name in ("README.md", "report.html"))
    assert readme.index("WILL BURST") < readme.index("In what order")
    assert "--even-so" in readme
    assert report.index("Will burst") < report.index("<h1>")
    assert caution_document(pack.hazards)[0]["kind"] == "burst"


def test_the_report_of_a_search_leads_with_what_bites_and_holds_the_magnets(small_result: Result) -> None:
    fast = replace(small_result.best.layout, speed_rpm=20000.0)
    result = replace(small_result, best=Entry(evaluate(fast)))
    page = report_of(result, {})
    assert page.index("Dangerous voltage") < page.index("<h1>")
    assert "Holding the magnets at speed" in page
    assert "high-voltage" in [row["kind"] for row in contract(result, 0.0)["cautions"]]
    assert result_document(result)["cautions"] == contract(result, 0.0)["cautions"]


def test_the_page_of_a_load_leads_with_what_bites_and_holds_the_magnets() -> None:
    page = load_page(study_load(large(), BridgeResistor(ohms=100.0, drop=0.8)))
    assert page.index("Will burst") < page.index("<h1>")
    assert "Holding the magnets at speed" in page


def test_the_local_page_tells_what_bites() -> None:
    told = preview(flat_layout(large()))["cautions"]
    assert [row["kind"] for row in told] == ["burst", "high-voltage", "hot-copper"]


def test_three_phases_count_between_terminals() -> None:
    """What a hand may bridge in a star is not one phase's peak."""
    layout = nine_wedges()
    figures = evaluate(layout)
    assert figures.emf_terminal_peak_V == pytest.approx(
        thevenin_of(layout).peak_constant * layout.speed_rpm * 2 * 3.141592653589793 / 60, rel=1e-4
    )
    assert figures.emf_terminal_peak_V > 1.5 * figures.emf_peak_V
    middling = replace(layout, speed_rpm=layout.speed_rpm * 42.4 / figures.emf_peak_V * 0.9)
    assert "high-voltage" in kinds(middling)


def test_a_little_margin_is_less_than_bursting() -> None:
    held = retention(large())
    slower = large(speed_rpm=held.burst_rpm * 0.6)
    found = layout_hazards(evaluate(slower))
    assert found[0].kind == "overspeed"
    assert caution_lines(found)[0].startswith("! LITTLE MARGIN AT SPEED")
    assert "burst" not in kinds(large(speed_rpm=held.burst_rpm * 0.99))
    assert kinds(large(speed_rpm=held.burst_rpm * 1.01))[0] == "burst"


USB = UsbConverter(least_input=3.0, efficiency=0.85, drop=0.35, most_watts=0.2)


@pytest.mark.parametrize(("bears", "bites"), [(None, True), (8.0, True), (12.0, True), (30.0, False)])
def test_a_converter_s_input_is_held_against_the_volts_with_its_output_unplugged(
    bears: float | None, bites: bool
) -> None:
    study = study_load(
        lantern_layout(turns=200), replace(USB, most_watts=50.0, most_input=bears), speed_rpm=1000
    )
    peak = study.source.peak_constant * 1000 * pi / 30
    assert study.point.dc_volts < 8  # less than it bears, while it draws
    assert 12 < peak < 30
    assert ("converter-input" in [hazard.kind for hazard in study.hazards]) is bites
    said = " ".join(row["text"] for row in caution_document(study.hazards))
    assert ("Its key most_input_V is not given" in said) is (bears is None)
    assert (f"{number(peak)} V peak at 1000 rpm once its output is unplugged" in said) is bites
    assert (f"Its input bears {bears and number(bears)} V" in said) is (bears is not None and bites)


def test_a_run_tells_the_volts_at_the_converter_s_input_not_at_its_output() -> None:
    layout, rig = lantern_layout(turns=200), crank_rig(gears=(GearStage(driver_teeth=100, driven_teeth=15),))
    source = thevenin_of(layout)
    run = drive(source, replace(USB, most_input=5.5), rig, rotor_of(layout), 20.0)
    hazard = next(hazard for hazard in run.hazards if isinstance(hazard, ConverterInput))
    assert hazard.rpm == pytest.approx(max(run.asked_rpm, float(run.series.rpm.max())), rel=1e-3)
    assert hazard.unplugged == pytest.approx(source.peak_constant * hazard.rpm * pi / 30)
    at_most = steady_state(source, USB, float(run.series.rpm.max()))
    assert hazard.loaded == pytest.approx(at_most.dc_volts, rel=0.01)
    assert hazard.loaded < hazard.unplugged
    assert run.settled.dc_volts == pytest.approx(5)  # at its output


def test_a_converter_that_no_usual_one_breaks_at_is_not_warned_of() -> None:
    assert not list(load_hazards(USB, 5.4, 400))
    assert [hazard.kind for hazard in load_hazards(USB, 5.6, 400)] == ["converter-input"]


def test_a_sink_of_steady_volts_is_a_bare_cell() -> None:
    study = study_load(lantern_layout(), BridgeBattery(volts=3.7, ohms=0.1, drop=0.35))
    assert [hazard.kind for hazard in study.hazards] == ["cell"]
