"""Machines of the whole family set up on the page, by hand and by a search; what is shown is the command line's."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from math import pi
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit
from zipfile import ZipFile

import numpy as np
import pytest
from family import six_wedges
from playwright.sync_api import Browser, expect
from test_looks import SIZES, narrow_enough, serious
from test_search_and_take import taken
from visiting import ROOT, Visit

from geometry.machine.layout_file import layout_from_text, layout_text
from optimizer.answers.page_values import flat_layout
from optimizer.answers.preview import look
from optimizer.brief.brief import brief_from_text
from optimizer.evaluation.chain import evaluate
from optimizer.page.start import LAYOUT, bundled_text
from optimizer.words.caution_words import carrier_cautions

SHAPES = {
    "ring": {"diameter_mm": "15", "bore_mm": "5"},
    "block": {"length_mm": "15", "width_mm": "15"},
    "arc": {"inner_radius_mm": "37.9", "outer_radius_mm": "52.9", "angle_deg": "19"},
}


def choose(visit: Visit, key: str, value: str) -> None:
    """Choose by hand: a picture, a list's entry or a number."""
    row = f"c-{key.replace('.', '-')}"
    if visit.page.locator(f"input[name='{row}']").count():
        visit.page.check(f"input[name='{row}'][value='{value}']")
    elif visit.page.locator(f"select#{row}").count():
        visit.page.select_option(f"#{row}", value)
    else:
        visit.page.fill(f"#{row}", value)
        visit.page.locator(f"#{row}").blur()
    visit.settled()


def address(visit: Visit) -> dict[str, str]:
    """The design that the address states."""
    values = parse_qs(urlsplit(visit.page.url).fragment)
    heads = ("brief.", "keep.", "view.", "load.", "rig.", "motor.")
    return {key: value[0] for key, value in values.items() if not key.startswith(heads)}


def figures(visit: Visit) -> dict[str, str]:
    """The page's figures by name, value and remark together."""
    pairs = visit.page.evaluate(
        "[...document.querySelectorAll('#figures div')].map(row => [...row.children].map(part => part.textContent))"
    )
    return {name: value.replace("\xa0", " ") for name, value in pairs}


def printed(*words: object) -> str:
    """What the command line prints."""
    code = "from optimizer.cli import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", code, *map(str, words)], cwd=ROOT, check=True, capture_output=True, text=True
    )
    return done.stdout


def evaluated(visit: Visit, folder: Path) -> dict[str, Any]:
    """What the command line says of the layout taken from the page, which is as the reader would write it."""
    text = taken(visit, "layout.toml", folder).decode()
    assert layout_text(layout_from_text(text, "taken")) == text
    return json.loads(printed("evaluate", folder / "layout.toml", "--json"))


@pytest.mark.parametrize("shape", SHAPES)
def test_a_shape_takes_over_the_place_and_gives_it_back(visit: Visit, shape: str):
    before, shown = address(visit), visit.page.inner_text("#rms")
    choose(visit, "carrier.magnet.shape", shape)
    visit.until(f"location.hash.includes('magnet.shape={shape}')")
    sizes = {key.removeprefix("carrier.magnet."): value for key, value in address(visit).items()}
    assert {key: sizes.get(key) for key in SHAPES[shape]} == SHAPES[shape]
    assert "diameter_mm" in sizes if shape == "ring" else "diameter_mm" not in sizes
    assert visit.page.locator("#controls .fault:visible:has-text('missing')").count() == 0
    expected = look(address(visit), lambda _: None)["figures"][0]["value"]
    assert visit.page.inner_text("#rms").startswith(expected)
    choose(visit, "carrier.magnet.shape", "disc")
    visit.until("location.hash.includes('magnet.shape=disc')")
    assert address(visit) == before
    assert visit.page.inner_text("#rms") == shown
    visit.page.click("#undo")
    expect(visit.page.locator(f"input[name='c-carrier-magnet-shape'][value='{shape}']")).to_be_checked()


def test_sizes_set_by_hand_come_back_too(visit: Visit):
    choose(visit, "carrier.magnet.shape", "block")
    choose(visit, "carrier.magnet.width_mm", "9.5")
    choose(visit, "carrier.magnet.shape", "disc")
    expect(visit.page.locator("#c-carrier-magnet-diameter_mm")).to_have_value("9.5")
    choose(visit, "carrier.magnet.shape", "block")
    expect(visit.page.locator("#c-carrier-magnet-length_mm")).to_have_value("15")
    expect(visit.page.locator("#c-carrier-magnet-width_mm")).to_have_value("9.5")


def test_arcs_and_their_pitch_circle_move_together(visit: Visit):
    choose(visit, "carrier.magnet.shape", "arc")
    choose(visit, "carrier.pitch_radius_mm", "45")
    expect(visit.page.locator("#c-carrier-magnet-inner_radius_mm")).to_have_value("37.5")
    choose(visit, "carrier.magnet.outer_radius_mm", "52")
    expect(visit.page.locator("#c-carrier-pitch_radius_mm")).to_have_value("44.75")
    expect(visit.page.locator("#c-carrier-pitch_radius_mm-note")).to_contain_text("move with it")
    assert visit.page.locator("#controls .fault:visible").count() == 0


BUILT = {
    "blocks with steel at 60 °C": [
        ("carrier.magnet.shape", "block"), ("carrier.magnet.width_mm", "9"), ("carrier.magnet.length_mm", "12"),
        ("carrier.pitch_radius_mm", "44"), ("carrier.plate_mm", "3"), ("carrier.magnet.temperature_C", "60"),
    ],
    "three phases of wedges in delta": [
        ("winding.phases", "3"), ("winding.coils", "24"), ("winding.width_mm", "3"), ("winding.turns", "30"),
        ("winding.connection", "delta"),
    ],
    "interleaved serpentines between two carriers": [
        ("winding.phases", "3"), ("winding.topology", "serpentine"), ("winding.stacking", "interleaved"),
        ("winding.width_mm", "5"), ("winding.turns", "40"), ("carrier.arrangement", "facing"),
        ("carrier.plate_mm", "2"),
    ],
    "a coil on each side, of a stated remanence": [
        ("carrier.arrangement", "two-sided"), ("carrier.magnet.grade", "none"), ("carrier.magnet.remanence_T", "1.1"),
    ],
}  # fmt: skip


@pytest.mark.parametrize("name", BUILT)
def test_the_voltage_is_the_command_line_s(visit: Visit, tmp_path: Path, name: str):
    for key, value in BUILT[name]:
        choose(visit, key, value)
    assert visit.page.inner_text("#verdict") == "Fits.", visit.page.inner_text("#misfits")
    figured = evaluated(visit, tmp_path)
    shown = figures(visit)
    assert visit.volts() == pytest.approx(figured["emf_rms_V"], rel=5e-3)
    for key, value in BUILT[name]:
        assert address(visit).get(key, "none") == value
    if figured["phases"] == 3:
        assert float(shown["Line voltage"].split()[0]) == pytest.approx(figured["emf_line_rms_V"], rel=5e-3)
        assert shown["Winding factor"].startswith(f"{figured['winding_factor']:.3f}")
        assert visit.page.locator("#waveform polyline").count() == 3
        assert visit.page.locator("#waveform .phase").all_text_contents() == ["A", "B", "C"]
    else:
        assert "Line voltage" not in shown
        assert visit.page.locator("#waveform polyline").count() == 1
    assert ("Steel plate" in shown) == (figured["plate_mm"] > 0)
    visit.page.reload()
    visit.settled()
    assert visit.volts() == pytest.approx(figured["emf_rms_V"], rel=5e-3)


def test_phases_bring_only_what_the_file_may_have_and_take_it_away_again(visit: Visit):
    before = address(visit)
    for key in ("coils", "stacking", "connection"):
        assert not visit.page.locator(f"#c-winding-{key}").is_visible()
    choose(visit, "winding.phases", "3")
    assert visit.page.input_value("#c-winding-coils") == "12"
    assert "12: 3:4, factor 0.866" in visit.page.inner_text("#c-winding-coils")
    assert visit.page.locator("#c-winding-connection").is_visible()
    assert not visit.page.locator("#c-winding-stacking").is_visible()
    choose(visit, "winding.coils", "15")
    choose(visit, "winding.topology", "serpentine")
    assert not visit.page.locator("#c-winding-coils").is_visible()
    assert visit.page.locator("#c-winding-stacking").is_visible()
    assert visit.page.inner_text("#c-winding-height_mm-note") == "Of each phase; 4.44 mm in all."
    choose(visit, "winding.topology", "wedge")
    assert visit.page.input_value("#c-winding-coils") == "15"
    choose(visit, "winding.phases", "1")
    assert address(visit) == before


def test_what_cannot_be_is_told_beside_its_control(visit: Visit):
    choose(visit, "winding.phases", "3")
    words = visit.page.locator("#c-winding-coils-fault")
    visit.page.fill("#c-carrier-count", "6")
    expect(words).to_contain_text("12 coils before 6 poles do not make three equal phases")
    assert visit.page.input_value("#c-winding-coils") == "12"
    visit.page.select_option("#c-winding-coils", "9")
    expect(words).to_be_hidden()
    visit.page.fill("#c-carrier-plate_mm", "70")
    expect(visit.page.locator("#c-carrier-plate_mm-fault")).to_contain_text("at most 50")
    visit.page.fill("#c-carrier-plate_mm", "2")
    expect(visit.page.locator("#c-carrier-plate_mm-fault")).to_be_hidden()
    visit.page.select_option("#c-carrier-arrangement", "two-sided")
    expect(visit.page.locator("#c-carrier-plate_mm-fault")).to_contain_text(
        'be 0 with arrangement = "two-sided", was 2'
    )
    visit.page.fill("#c-carrier-plate_mm", "0")
    expect(visit.page.locator("#c-carrier-plate_mm")).to_be_hidden()
    choose(visit, "carrier.magnet.shape", "ring")
    visit.page.fill("#c-carrier-magnet-bore_mm", "40")
    expect(visit.page.locator("#c-carrier-magnet-bore_mm-fault")).to_contain_text("was 40")
    assert visit.page.input_value("#c-carrier-magnet-bore_mm") == "40"
    visit.forgive("422")


def test_figures_say_what_the_command_line_says_of_steel_heat_and_pull(visit: Visit, tmp_path: Path):
    for key, value in {
        "carrier.arrangement": "facing",
        "carrier.plate_mm": "1",
        "carrier.magnet.temperature_C": "90",
    }.items():
        choose(visit, key, value)
    taken(visit, "layout.toml", tmp_path)
    words_printed = printed("evaluate", tmp_path / "layout.toml").replace("\xa0", " ")
    rows = [line for line in words_printed.splitlines() if line.startswith("  ")]
    lines = {line[2:24].strip(): " ".join(line[24:].split()) for line in rows}
    shown = {name: " ".join(words.split()) for name, words in figures(visit).items() if name != "Caution"}
    assert shown == lines
    assert {"Steel", "Arrangement", "Accuracy", "Attraction"} <= set(lines)
    assert "which all figures here count with" in lines["Steel"]
    bites = [line.partition(": ")[2] for line in words_printed.splitlines() if line.startswith("! ")]
    assert any("90" in words and "°C" in words for words in bites)
    for words in bites:
        assert words in visit.page.inner_text("body").replace("\xa0", " ")
    layout = layout_from_text((tmp_path / "layout.toml").read_text(), "taken")
    for caution in carrier_cautions(layout, evaluate(layout)):
        assert caution.text.replace("\xa0", " ") in visit.page.inner_text("#figures").replace("\xa0", " ")


def tick_only(visit: Visit, legend: str, wanted: set[str]) -> None:
    """Tick these of a group of the brief's form."""
    for box in visit.page.locator(f"#brief fieldset:has(legend:text-is('{legend}')) input").all():
        box.set_checked(box.get_attribute("value") in wanted)


def small_brief(visit: Visit) -> None:
    """Four blocks, one wire, one coil shape."""
    page = visit.page
    page.fill("#b-space-outer_diameter_mm", "64")
    page.select_option("#b-magnets-1-shape", "block")
    page.fill("#b-magnets-1-length_mm", "12")
    page.fill("#b-magnets-1-width_mm", "9")
    page.fill("#b-magnets-1-quantity", "4")
    page.fill("#b-magnets-1-temperature_C", "40")
    tick_only(visit, "Wire sizes to choose from, bare copper, mm", {"0.315"})
    tick_only(visit, "Coil shapes to try", {"wedge"})


def searched(visit: Visit) -> str:
    """Search, and what is said at the end."""
    visit.page.click("#seek")
    visit.until(
        "!document.getElementById('seek').disabled && document.getElementById('search-words').textContent"
    )
    return visit.page.inner_text("#search-words")


def test_blocks_in_three_phases_before_steel_searched_from_the_page(visit: Visit, tmp_path: Path):
    small_brief(visit)
    tick_only(visit, "Numbers of phases to try", {"1", "3"})
    visit.page.fill("#b-rotor-plate_mm", "3")
    visit.page.fill("#b-coil-least_layers", "2")
    assert "layouts were considered" in searched(visit)
    expect(visit.page.locator("#found .card", has_text="3 phases").first).to_be_visible()
    visit.page.locator(
        "#found h3:text-is('Best by number of phases') + ul .card", has_text="3 phases"
    ).click()
    visit.settled()
    assert visit.page.locator("#waveform polyline").count() == 3
    brief = brief_from_text(taken(visit, "brief.toml", tmp_path).decode(), "brief")
    assert (brief.phases, brief.plate, brief.magnets[0].magnet.temperature) == ((1, 3), 0.003, 40)
    assert brief.least_layers == 2
    found = json.loads(printed("optimize", tmp_path / "brief.toml", "--out", tmp_path / "out", "--json"))
    assert found["best"]["magnet"]["shape"] == "block"
    three = next(entry for entry in found["by_phases"] if entry["phases"] == 3)
    assert visit.volts() == pytest.approx(three["emf_rms_V"], rel=5e-3)
    assert evaluated(visit, tmp_path)["emf_rms_V"] == pytest.approx(three["emf_rms_V"], rel=1e-6)


def test_a_goal_for_a_load_is_searched_as_on_the_command_line(visit: Visit, tmp_path: Path):
    small_brief(visit)
    visit.page.check("#b-goal-load_power")
    visit.page.select_option("#b-load-kind", "resistor")
    visit.page.fill("#b-load-resistance_ohm", "8")
    words = searched(visit)
    taken(visit, "brief.toml", tmp_path)
    words_printed = printed("optimize", tmp_path / "brief.toml", "--out", tmp_path / "out")
    said = words_printed.splitlines()[1].strip()
    assert said.startswith("gets ")
    assert said.replace("\xa0", " ") in words.replace("\xa0", " ")
    taken(visit, "search.zip", tmp_path)
    with ZipFile(tmp_path / "search.zip") as archive:
        found = {name.removeprefix("search/"): archive.read(name) for name in archive.namelist()}
    found = {name: content for name, content in found.items() if not name.startswith("pack/")}
    written = {
        p.relative_to(tmp_path / "out").as_posix(): p.read_bytes()
        for p in (tmp_path / "out").rglob("*")
        if p.is_file()
    }
    assert found == written


WRONG: dict[str, tuple[Callable[[Visit], None], str, str]] = {
    "size": (
        lambda visit: visit.page.fill("#b-magnets-1-width_mm", "wide"),
        "magnets-1-width_mm",
        'was "wide"',
    ),
    "plate": (lambda visit: visit.page.fill("#b-rotor-plate_mm", "99"), "rotor-plate_mm", "at most 50"),
    "no phases": (lambda visit: tick_only(visit, "Numbers of phases to try", set()), "coil-phases", "none"),
    "no shapes": (lambda visit: tick_only(visit, "Coil shapes to try", set()), "coil-topologies", "none"),
}


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_brief_is_told_beside_its_field(visit: Visit, name: str):
    spoil, key, words = WRONG[name]
    visit.page.select_option("#b-magnets-1-shape", "block")
    spoil(visit)
    searched(visit)
    expect(visit.page.locator(f"#b-{key}-fault")).to_contain_text(words)
    visit.forgive("422")


def test_a_magnet_of_the_brief_changes_its_shape_and_strength(visit: Visit):
    page = visit.page
    page.click("#b-magnet-add")
    page.select_option("#b-magnets-2-shape", "ring")
    expect(page.locator("#b-magnets-2-bore_mm")).to_have_value("3.5")
    page.select_option("#b-magnets-2-grade", "none")
    expect(page.locator("#b-magnets-2-remanence_T")).to_have_value("1.28")
    page.select_option("#b-magnets-2-grade", "Y35")
    expect(page.locator("#b-magnets-2-remanence_T")).to_have_count(0)
    page.select_option("#b-magnets-2-shape", "disc")
    expect(page.locator("#b-magnets-2-diameter_mm")).to_have_value("10")
    page.click("[aria-label='Remove magnet 1']")
    expect(page.locator("#b-magnets-1-grade")).to_have_value("Y35")


@pytest.mark.parametrize(("size", "scheme"), [("laptop", "dark"), ("phone", "light")])
def test_accessible_with_everything_open(browser: Browser, address: str, size: str, scheme: Any):
    width, height = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height}, color_scheme=scheme, bypass_csp=True
    )
    seen = Visit(context.new_page(), address).open()
    for key, value in BUILT["interleaved serpentines between two carriers"]:
        choose(seen, key, value)
    choose(seen, "carrier.magnet.shape", "block")
    seen.page.fill("#c-carrier-plate_mm", "70")
    expect(seen.page.locator("#c-carrier-plate_mm-fault")).to_be_visible()
    seen.page.check("#b-goal-lowest_speed")
    seen.page.click("summary:text('Printer and prices')")
    seen.page.evaluate("scrollTo(0, 0)")  # what lies under the bar at the top is none too small
    assert serious(seen.page) == []
    assert narrow_enough(seen.page)
    context.close()


def test_one_plain_phase_has_neither_letters_nor_notes():
    answer = look(flat_layout(layout_from_text(bundled_text(LAYOUT), LAYOUT)), lambda _: None)
    assert answer["waveform"]["phases"] == []
    assert answer["notes"] == []


def test_a_misfit_of_coils_stands_at_a_coil_when_they_are_fewer_than_the_magnets():
    fits = six_wedges()
    wide = replace(fits, winding=replace(fits.winding, outer_radius=fits.space.outer_radius + 0.002))
    answer = look(flat_layout(wide), lambda _: None)
    assert [area["repeat"] for area in answer["areas"]] == [6]
    (spot,) = answer["misfits"]
    beside = np.angle(complex(spot["x"], -spot["y"])) / (pi / 3)
    assert beside == pytest.approx(round(beside), abs=1e-6)
    assert abs(complex(spot["x"], spot["y"])) == pytest.approx(wide.winding.outer_radius * 1e3, rel=1e-6)
