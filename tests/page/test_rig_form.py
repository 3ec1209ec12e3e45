"""The rig of the panel Use: every mechanism, gears, lists, its file; three phases with it; what a phone shows."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from playwright.sync_api import Browser, expect
from test_looks import narrow_enough, serious
from visiting import Visit

from optimizer.commands.polepitch import polepitch
from optimizer.loads.load_file import read_load
from optimizer.page.start import start_of
from optimizer.rigs.rig import BEARINGS, MATERIALS, SEALS
from optimizer.rigs.rig_file import read_rig


def worked_out(visit: Visit) -> str:
    """Press the button; the answer's text."""
    visit.page.click("#u-go")
    expect(visit.page.locator("#u-words")).to_have_text("Done.")
    return visit.page.inner_text("#u-answer").replace("\xa0", " ")


def saved(visit: Visit, name: str, folder: Path) -> Path:
    with visit.page.expect_download() as taken:
        visit.page.click(f"[data-file='{name}']")
    taken.value.save_as(folder / name)
    return folder / name


@pytest.mark.parametrize("kind", ["crank", "cord", "pump", "spin"])
def test_every_mechanism_says_what_the_command_drive_says(visit: Visit, tmp_path: Path, kind: str):
    page = visit.page
    page.check("#u-hand")
    page.select_option("#u-mechanism", kind)
    expect(page.locator("#u-mechanism")).to_be_focused()
    page.click("#u-rig-gear")
    page.fill("#u-rig-gears-1-driver_teeth", "48")
    page.select_option("#u-rig-flywheel-material", "brass")
    shown = worked_out(visit)
    rig, load = saved(visit, "rig.toml", tmp_path), saved(visit, "load.toml", tmp_path)
    assert type(read_rig(rig).mechanism).__name__.lower() == kind
    assert [stage.driver_teeth for stage in read_rig(rig).gears] == [48]
    layout = saved(visit, "layout.toml", tmp_path)
    done = CliRunner().invoke(polepitch, ["drive", str(layout), str(rig), "--load", str(load), "--json"])
    assert done.exit_code == 0, done.output
    said = json.loads(done.stdout)["findings"]
    assert len(said) > 3
    assert [words for words in said if words.replace("\xa0", " ") not in shown] == []


def test_lists_offer_all_that_a_rig_may_name():
    from optimizer.page.start import choices

    assert choices()["rigs"]["materials"] == list(MATERIALS)
    assert choices()["rigs"]["bearings"] == list(BEARINGS)
    assert choices()["rigs"]["seals"] == ["", *SEALS]


def test_a_rig_s_and_a_load_s_file_open(visit: Visit, tmp_path: Path):
    page = visit.page
    page.check("#u-hand")
    page.select_option("#u-mechanism", "crank")
    page.fill("#u-load-resistance_ohm", "33")
    worked_out(visit)
    rig, load = saved(visit, "rig.toml", tmp_path), saved(visit, "load.toml", tmp_path)
    assert read_load(load).ohms == 33
    page.uncheck("#u-hand")
    page.select_option("#u-kind", "resistor")
    expect(page.locator("#u-rig")).to_be_empty()
    page.set_input_files("#open", rig)
    expect(page.locator("#u-mechanism")).to_have_value("crank")
    page.set_input_files("#open", load)
    expect(page.locator("#u-kind")).to_have_value("bridge-resistor")
    expect(page.locator("#u-load-resistance_ohm")).to_have_value("33")
    rig.write_text(rig.read_text().replace("arm_mm = 120", "arm_mm = 0"))
    page.set_input_files("#open", rig)
    expect(page.locator("#trouble")).to_contain_text("mechanism.crank.arm_mm")
    visit.forgive("422")


def three_phases(visit: Visit, connection: str) -> None:
    visit.page.check("#controls input[name=c-winding-phases][value='3']")
    visit.page.select_option("#c-winding-connection", connection)
    visit.settled()
    stated = "winding.connection=delta" if connection == "delta" else "winding.phases=3"
    visit.until(f"location.hash.includes('{stated}')")


@pytest.mark.parametrize("connection", ["star", "delta"])
def test_three_phases_are_loaded_turned_and_compared(visit: Visit, connection: str):
    three_phases(visit, connection)
    visit.page.select_option("#u-kind", "resistor")
    visit.page.check("#u-hand")
    visit.page.check("#u-beside")
    shown = worked_out(visit)
    assert f"Three resistors of 20.0 Ω each, joined in {connection}, at 400 rpm" in shown
    assert f"in each of three joined in {connection}" in shown
    assert "across one of the three resistances" in shown
    assert "V line rms" in shown  # with nothing joined
    assert ("V phase rms" in shown) == (connection == "star")  # across one of the three resistances
    assert "Ω a phase" in shown
    visit.page.select_option("#u-kind", "bridge-capacitor")
    assert "rms in each phase" in worked_out(visit)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_phone_tells_of_the_second_side_and_labels_do_not_touch(
    browser: Browser, address: str, scheme: str
):
    size = {"width": 390, "height": 844}
    context = browser.new_context(viewport=size, color_scheme=scheme)
    visit = Visit(context.new_page(), address).open()
    visit.page.select_option("#c-carrier-arrangement", "two-sided")
    visit.settled()
    assert "a coil on each side" in visit.page.inner_text("#drawing-note")
    boxes = [text.bounding_box() for text in visit.page.locator("#waveform text").all()]
    assert len(boxes) >= 7
    for at, one in enumerate(boxes):
        for other in boxes[at + 1 :]:
            assert one
            assert other
            apart = (
                one["x"] + one["width"] <= other["x"] or other["x"] + other["width"] <= one["x"]
                or one["y"] + one["height"] * 0.8 <= other["y"] or other["y"] + other["height"] * 0.8 <= one["y"]
            )  # fmt: skip
            assert apart, (one, other)
    context.close()


@pytest.mark.parametrize(("width", "scheme"), [(1280, "dark"), (390, "light")])
def test_a_rig_is_accessible(browser: Browser, address: str, width: int, scheme: str):
    context = browser.new_context(
        viewport={"width": width, "height": 844},
        color_scheme=scheme,
        bypass_csp=True,
        reduced_motion="reduce",
    )
    visit = Visit(context.new_page(), address).open()
    visit.page.check("#u-hand")
    visit.page.select_option("#u-mechanism", "cord")
    visit.page.click("#u-rig-gear")
    worked_out(visit)
    visit.page.evaluate(
        "scrollTo(0, 0)"
    )  # what sticks to the window may half cover a field that passes below it
    assert serious(visit.page) == []
    assert narrow_enough(visit.page)
    context.close()


def test_hostile_values_of_a_rig_are_told(visit: Visit):
    visit.page.check("#u-hand")
    visit.page.fill("#u-rig-flywheel-mass_kg", "-1")
    visit.page.fill("#u-rig-mover-cadence_per_minute", "1e999")
    visit.page.click("#u-go")
    expect(visit.page.locator("#u-rig-flywheel-mass_kg-fault")).to_contain_text("above 0")
    expect(visit.page.locator("#u-rig-mover-cadence_per_minute-fault")).to_be_visible()
    assert visit.page.evaluate("document.activeElement.id").startswith("u-rig-")
    visit.forgive("422")


def test_the_bundled_rig_is_the_pump():
    assert "mechanism.pump.stroke_mm" in start_of(None).rig
