"""The panel Use by hand: loads, mechanisms, gears, three phases, a motor beside; what it says is what commands say."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import expect
from visiting import Visit, commanded

from geometry.machine.layout_file import layout_from_text, layout_text
from optimizer.answers import simulation
from optimizer.answers.forms import forms
from optimizer.answers.page_values import flat_of_text, layout_of, text_of_flat
from optimizer.circuit.diodes import DIODES
from optimizer.circuit.loads import BridgeCapacitor, Resistor
from optimizer.loads.load_file import load_text
from optimizer.loads.load_study import study_load
from optimizer.page.app import start_of
from optimizer.rigs import hand_drive
from optimizer.rigs.rig import BEARINGS, MATERIALS, SEALS
from optimizer.rigs.rig_file import read_rig, rig_from_text
from optimizer.starters.file_kinds import example_text
from optimizer.words.wording import number

START = start_of(None)
KINDS = {
    "crank": {"mechanism.crank.arm_mm": "120"},
    "cord": {
        "mechanism.cord.drum_diameter_mm": "40", "mechanism.cord.stroke_mm": "600",
        "mechanism.cord.return_force_N": "8",
    },
    "pump": {key: value for key, value in START["rig"].items() if key.startswith("mechanism.")},
    "spin": {"mechanism.spin.radius_mm": "30", "mechanism.spin.stroke_mm": "80"},
}  # fmt: skip


def worked_out(visit: Visit) -> str:
    """Press the button; the answer's text."""
    visit.page.click("#u-go")
    expect(visit.page.locator("#u-words")).to_have_text("Done.")
    return visit.text("#u-answer")


def test_lists_offer_all_that_a_rig_may_name():
    fields = forms()["fields"]["rig"]
    offered = {key: [value for value, _ in fields[key]["options"]] for key in fields if "options" in fields[key]}
    assert offered["flywheel.material"] == list(MATERIALS)
    assert offered["bearings.kind"] == list(BEARINGS)
    assert offered["bearings.seals"] == ["", *SEALS]


def test_the_bundled_rig_is_the_pump():
    assert "mechanism.pump.stroke_mm" in start_of(None)["rig"]


def test_a_load_and_a_hand_by_every_mechanism(visit: Visit, tmp_path: Path):
    page = visit.page
    page.select_option("#u-load-kind", "bridge-capacitor")
    page.check("#u-hand")
    study = study_load(
        layout_from_text(example_text("layout"), "layout.toml"),
        BridgeCapacitor(ohms=20, farads=1e-3, drop=DIODES["schottky"]),
    )
    assert "from the hand" in worked_out(visit)
    shown = page.locator("#u-answer div", has_text="Power of the load").first.inner_text()
    assert f"{study.point.load_watts:.3g}" in shown
    page.fill("#u-load-resistance_ohm", "none")
    page.click("#u-go")
    expect(page.locator("#u-words")).to_contain_text('must be a number, was "none"')
    visit.afresh().page.check("#u-hand")
    page.click("#u-rig-gear")
    page.fill("#u-rig-gears-1-driver_teeth", "48")
    page.select_option("#u-rig-flywheel-material", "brass")
    layout = visit.taken("layout.toml", tmp_path)
    for kind in KINDS:
        page.select_option("#u-rig-mechanism", kind)
        expect(page.locator("#u-rig-mechanism")).to_be_focused()
        visit.until(f"location.hash.includes('rig.mechanism.{kind}')")
        stated = rig_from_text(text_of_flat(stated_rig(visit), "rig"), "rig")
        assert type(stated.mechanism).__name__.lower() == kind
        assert [stage.driver_teeth for stage in stated.gears] == [48]
    words, rig, load = worked_out(visit), visit.taken("rig.toml", tmp_path), visit.taken("load.toml", tmp_path)
    assert read_rig(rig) == stated
    said = findings("drive", layout, rig, "--load", load)
    assert [finding for finding in said if finding not in words] == []
    page.fill("#u-rig-flywheel-mass_kg", "-1")
    page.fill("#u-rig-mover-cadence_per_minute", "1e999")
    page.click("#u-go")
    expect(page.locator("#u-rig-flywheel-mass_kg-fault")).to_contain_text("above 0")
    expect(page.locator("#u-rig-mover-cadence_per_minute-fault")).to_be_visible()
    assert visit.focused().startswith("u-rig-")
    visit.forgive("422")


def stated_rig(visit: Visit) -> dict[str, str]:
    """The rig that the address states."""
    values = parse_qs(urlsplit(visit.page.url).fragment, keep_blank_values=True)
    return {key.removeprefix("rig."): value[0] for key, value in values.items() if key.startswith("rig.")}


def findings(*words: object) -> list[str]:
    """What a command finds, with plain spaces."""
    said = json.loads(commanded(*words, "--json"))["findings"]
    assert len(said) > 3
    return [finding.replace("\xa0", " ") for finding in said]


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
def test_of_every_mechanism_the_page_says_what_the_command_says(
    kind: str, tmp_path: Path, once: Callable[..., None]
):
    once("drive_layout", hand_drive, simulation, arguments=4)
    load = Resistor(ohms=20)
    rig = {key: value for key, value in START["rig"].items() if key not in KINDS["pump"]} | KINDS[kind]
    layout, rigged, loaded = (tmp_path / f"{name}.toml" for name in ("layout", "rig", "load"))
    layout.write_text(layout_text(layout_of(START["design"])), encoding="utf-8")
    rigged.write_text(text_of_flat(rig, "rig"), encoding="utf-8")
    loaded.write_text(load_text(load), encoding="utf-8")
    flat = flat_of_text(load_text(load))
    shown = simulation.simulate({"design": START["design"], "load": flat, "rig": rig, "motor": {}})
    assert [said.replace("\xa0", " ") for said in shown["rig"]["findings"]] == findings(
        "drive", layout, rigged, "--load", loaded
    )
    assert type(read_rig(rigged).mechanism).__name__.lower() == kind


def test_three_phases_are_loaded_turned_and_compared(visit: Visit):
    page = visit.page
    visit.choose("winding.phases", "3")
    page.select_option("#u-load-kind", "resistor")
    page.check("#u-hand")
    page.check("#u-beside")
    for connection in ("star", "delta"):
        visit.choose("winding.connection", connection)
        stated = "winding.connection=delta" if connection == "delta" else "winding.phases=3"
        visit.until(f"location.hash.includes('{stated}')")
        shown = worked_out(visit)
        assert f"Three resistors of 20.0 Ω each, joined in {connection}, at 400 rpm" in shown
        assert f"in each of three joined in {connection}" in shown
        assert "across one of the three resistances" in shown
        assert "V line rms" in shown  # with nothing joined
        assert ("V phase rms" in shown) == (connection == "star")  # across one of the three resistances
        assert "Ω a phase" in shown
    page.uncheck("#u-hand")  # the load alone says it
    page.uncheck("#u-beside")
    page.select_option("#u-load-kind", "bridge-capacitor")
    assert "rms in each phase" in worked_out(visit)


def beside(visit: Visit, name: str) -> list[str]:
    cells = visit.page.locator("#u-answer tr", has_text=name).first.locator("td").all_inner_texts()
    return [cell.replace("\xa0", " ") for cell in cells]


def test_a_rewound_motor_beside_it(visit: Visit, tmp_path: Path):
    page = visit.page
    page.select_option("#u-load-kind", "bridge-resistor")
    expect(page.locator("#u-motor")).to_be_empty()
    gears_come_and_go_by_keyboard(visit)
    page.fill("#u-motor-gears-1-driver_teeth", "60")
    page.fill("#u-motor-gears-1-efficiency", "0,9")
    shown = worked_out(visit)
    layout, motor, load = (visit.taken(name, tmp_path) for name in ("layout.toml", "motor.toml", "load.toml"))
    compared: dict[str, Any] = json.loads(commanded("compare", layout, motor, "--load", load, "--json"))
    assert beside(visit, "Power of the load") == [f"{number(row['load_W'])} W" for row in compared["machines"]]
    best = json.loads(commanded("rewind", motor, "--load", load, "--json"))["best"]
    assert f"{best['turns']} turns of {best['wire_diameter_mm']:g}" in shown
    page.reload()
    visit.settled()
    assert page.is_checked("#u-beside")
    assert page.input_value("#u-motor-gears-1-efficiency") == "0.9"
    page.fill("#u-motor-motor-turns", "0")
    page.fill("#u-motor-rewind-wires_mm", "0.2, 0.2")
    page.click("#u-go")
    turns = "must be a whole number of at least 1, was 0"
    expect(page.locator("#u-motor-motor-turns-fault")).to_have_text(turns)
    expect(page.locator("#u-motor-rewind-wires_mm-fault")).to_contain_text("must not repeat an earlier entry")
    expect(page.locator("#u-words")).to_contain_text("Turns of one coil: must be a whole number")
    assert page.get_attribute("#u-motor-motor-turns", "aria-invalid") == "true"
    assert visit.focused() == "u-motor-motor-turns"
    expect(page.locator("#u-answer")).to_be_empty()
    visit.afresh().page.check("#u-beside")
    page.fill("#u-motor-motor-wire_diameter_mm", "")
    page.keyboard.press("Tab")
    page.click("#u-go")
    fault = page.locator("#u-motor-motor-wire_diameter_mm-fault")  # a table's fault stands by the key it speaks of
    expect(fault).to_contain_text("scrape the enamel off the old wire")
    visit.forgive("422")


def gears_come_and_go_by_keyboard(visit: Visit) -> None:
    page = visit.page
    page.focus("#u-beside")
    page.keyboard.press("Space")
    page.focus("#u-gear")
    page.keyboard.press("Enter")
    expect(page.locator("#u-gear")).to_be_focused()
    page.keyboard.press("Enter")
    page.fill("#u-motor-gears-2-driver_teeth", "77")
    page.get_by_role("button", name="Remove pair of gears 1").press("Enter")
    expect(page.locator("#u-gears .pair")).to_have_count(1)
    assert page.input_value("#u-motor-gears-1-driver_teeth") == "77"
    assert "motor.gears.2" not in page.url
