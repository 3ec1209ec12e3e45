"""Machines of the whole family set up on the page by hand; what is shown is what the command line says."""

from __future__ import annotations

import json
from dataclasses import replace
from math import pi
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import numpy as np
import pytest
from family import six_wedges
from playwright.sync_api import expect
from visiting import Visit, commanded

from geometry.machine.layout_file import layout_from_text, layout_text
from optimizer.answers.page_values import flat_layout, layout_of
from optimizer.answers.preview import preview
from optimizer.evaluation.chain import evaluate
from optimizer.starters.file_kinds import example_text
from optimizer.words.caution_words import carrier_cautions

SHAPES = {
    "ring": {"diameter_mm": "15", "bore_mm": "5"},
    "block": {"length_mm": "15", "width_mm": "15"},
    "arc": {"inner_radius_mm": "37.9", "outer_radius_mm": "52.9", "angle_deg": "19"},
}


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


def test_shapes_of_magnets(visit: Visit):
    for shape in SHAPES:
        a_shape_takes_over_the_place_and_gives_it_back(visit.afresh(), shape)
    sizes_set_by_hand_come_back_too(visit.afresh())
    arcs_and_their_pitch_circle_move_together(visit.afresh())


def a_shape_takes_over_the_place_and_gives_it_back(visit: Visit, shape: str) -> None:
    before, shown = address(visit), visit.page.inner_text("#rms")
    visit.choose("carrier.magnet.shape", shape)
    visit.until(f"location.hash.includes('magnet.shape={shape}')")
    sizes = {key.removeprefix("carrier.magnet."): value for key, value in address(visit).items()}
    assert {key: sizes.get(key) for key in SHAPES[shape]} == SHAPES[shape]
    assert "diameter_mm" in sizes if shape == "ring" else "diameter_mm" not in sizes
    assert visit.page.locator("#controls .fault:visible:has-text('missing')").count() == 0
    expected = preview(address(visit))["figures"][0]["value"]
    assert visit.page.inner_text("#rms").startswith(expected)
    visit.choose("carrier.magnet.shape", "disc")
    visit.until("location.hash.includes('magnet.shape=disc')")
    assert address(visit) == before
    assert visit.page.inner_text("#rms") == shown
    visit.page.click("#undo")
    expect(visit.page.locator(f"input[name='c-carrier-magnet-shape'][value='{shape}']")).to_be_checked()


def sizes_set_by_hand_come_back_too(visit: Visit) -> None:
    visit.choose("carrier.magnet.shape", "block")
    visit.choose("carrier.magnet.width_mm", "9.5")
    visit.choose("carrier.magnet.shape", "disc")
    expect(visit.page.locator("#c-carrier-magnet-diameter_mm")).to_have_value("9.5")
    visit.choose("carrier.magnet.shape", "block")
    expect(visit.page.locator("#c-carrier-magnet-length_mm")).to_have_value("15")
    expect(visit.page.locator("#c-carrier-magnet-width_mm")).to_have_value("9.5")


def arcs_and_their_pitch_circle_move_together(visit: Visit) -> None:
    visit.choose("carrier.magnet.shape", "arc")
    visit.choose("carrier.pitch_radius_mm", "45")
    expect(visit.page.locator("#c-carrier-magnet-inner_radius_mm")).to_have_value("37.5")
    visit.choose("carrier.magnet.outer_radius_mm", "52")
    expect(visit.page.locator("#c-carrier-pitch_radius_mm")).to_have_value("44.75")
    expect(visit.page.locator("#c-carrier-pitch_radius_mm-note")).to_contain_text("move with it")
    assert visit.page.locator("#controls .fault:visible").count() == 0


def test_phases_coils_and_what_cannot_be(visit: Visit):
    phases_bring_only_what_the_file_may_have_and_take_it_away_again(visit)
    what_cannot_be_is_told_beside_its_control(visit.afresh())


def phases_bring_only_what_the_file_may_have_and_take_it_away_again(visit: Visit) -> None:
    before = address(visit)
    for key in ("coils", "stacking", "connection"):
        assert not visit.page.locator(f"#c-winding-{key}").is_visible()
    visit.choose("winding.phases", "3")
    assert visit.page.input_value("#c-winding-coils") == "12"
    assert "12: 3:4, factor 0.866" in visit.page.inner_text("#c-winding-coils")
    assert visit.page.locator("#c-winding-connection").is_visible()
    assert not visit.page.locator("#c-winding-stacking").is_visible()
    visit.choose("winding.coils", "15")
    visit.choose("winding.topology", "serpentine")
    assert not visit.page.locator("#c-winding-coils").is_visible()
    assert visit.page.locator("#c-winding-stacking").is_visible()
    assert visit.page.inner_text("#c-winding-height_mm-note") == "Of each phase; 4.44 mm in all."
    visit.choose("winding.topology", "wedge")
    assert visit.page.input_value("#c-winding-coils") == "15"
    visit.choose("winding.phases", "1")
    assert address(visit) == before


def what_cannot_be_is_told_beside_its_control(visit: Visit) -> None:
    visit.choose("winding.phases", "3")
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
    visit.choose("carrier.magnet.shape", "ring")
    visit.page.fill("#c-carrier-magnet-bore_mm", "40")
    expect(visit.page.locator("#c-carrier-magnet-bore_mm-fault")).to_contain_text("was 40")
    assert visit.page.input_value("#c-carrier-magnet-bore_mm") == "40"
    visit.forgive("422")


def test_machines_of_the_whole_family_are_shown_as_the_command_line_tells_of_them(visit: Visit, tmp_path: Path):
    for machine in BUILT.values():
        for key, value in machine:
            visit.choose(key, value)
        assert visit.page.inner_text("#verdict") == "Fits.", visit.page.inner_text("#misfits")
        design = address(visit)
        for key, value in machine:
            assert design.get(key, "none") == value
        text = visit.taken("layout.toml", tmp_path).read_text()
        assert text == layout_text(layout_of(design))  # what the reader would write
        the_voltage_is_the_command_line_s(visit, json.loads(commanded("evaluate", tmp_path / "layout.toml", "--json")))
        visit.page.reload()
        visit.settled()
        assert address(visit) == design
        visit.afresh()
    figures_say_what_the_command_line_says_of_steel_heat_and_pull(visit, tmp_path)


def the_voltage_is_the_command_line_s(visit: Visit, figured: dict[str, Any]) -> None:
    shown = figures(visit)
    assert visit.volts() == pytest.approx(figured["emf_rms_V"], rel=5e-3)
    if figured["phases"] == 3:
        assert float(shown["Line voltage"].split()[0]) == pytest.approx(figured["emf_line_rms_V"], rel=5e-3)
        assert shown["Winding factor"].startswith(f"{figured['winding_factor']:.3f}")
        assert visit.page.locator("#waveform polyline").count() == 3
        assert visit.page.locator("#waveform .phase").all_text_contents() == ["A", "B", "C"]
    else:
        assert "Line voltage" not in shown
        assert visit.page.locator("#waveform polyline").count() == 1
    assert ("Steel plate" in shown) == (figured["plate_mm"] > 0)


def figures_say_what_the_command_line_says_of_steel_heat_and_pull(visit: Visit, folder: Path) -> None:
    for key, value in {
        "carrier.arrangement": "facing",
        "carrier.plate_mm": "1",
        "carrier.magnet.temperature_C": "90",
    }.items():
        visit.choose(key, value)
    path = visit.taken("layout.toml", folder)
    words_printed = commanded("evaluate", path).replace("\xa0", " ")
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
    layout = layout_from_text(path.read_text(), "taken")
    for caution in carrier_cautions(evaluate(layout)):
        assert caution.text.replace("\xa0", " ") in visit.page.inner_text("#figures").replace("\xa0", " ")


def test_one_plain_phase_has_neither_letters_nor_notes():
    answer = preview(flat_layout(layout_from_text(example_text("layout"), "layout.toml")))
    assert answer["waveform"]["phases"] == []
    assert answer["notes"] == []


def test_a_misfit_of_coils_stands_at_a_coil_when_they_are_fewer_than_the_magnets():
    fits = six_wedges()
    wide = replace(fits, winding=replace(fits.winding, outer_radius=fits.space.outer_radius + 0.002))
    answer = preview(flat_layout(wide))
    assert [area["repeat"] for area in answer["areas"]] == [6]
    (spot,) = answer["violations"]
    beside = np.angle(complex(spot["x"], -spot["y"])) / (pi / 3)
    assert beside == pytest.approx(round(beside), abs=1e-6)
    assert abs(complex(spot["x"], spot["y"])) == pytest.approx(wide.winding.outer_radius * 1e3, rel=1e-6)
