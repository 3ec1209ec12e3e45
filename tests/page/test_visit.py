"""The page as a person meets it, in a real browser."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect
from visiting import ROOT, Visit, ended, served

from geometry.machine.layout_file import layout_from_text, layout_text
from optimizer.brief.brief import brief_from_text, read_brief
from optimizer.circuit.diodes import DIODES
from optimizer.circuit.loads import BridgeCapacitor
from optimizer.evaluation.chain import evaluate
from optimizer.loads.load_study import study_load
from optimizer.page.start import BRIEF, LAYOUT, bundled_text

SLIDERS = "#controls input[type=range]:visible"


def lantern():
    return layout_from_text(bundled_text(LAYOUT), LAYOUT)


def test_the_bundled_lantern_is_wound_from_the_bundled_brief_s_wire_with_ends_and_spare():
    brief = brief_from_text(bundled_text(BRIEF), BRIEF)
    assert brief.length is not None
    assert 0.98 * brief.length < evaluate(lantern()).wire_needed_m <= brief.length


def test_first_visit_shows_the_lantern_and_says_what_to_do(visit: Visit):
    assert visit.page.inner_text("#hint").count(".") == 2
    assert "Hand-spun lantern" in visit.page.title()
    assert visit.volts() == pytest.approx(evaluate(lantern()).emf_rms_V, rel=2e-3)
    assert visit.page.locator("#sheet .POCKETS_NORTH circle").count() == 8
    assert visit.page.inner_text("#verdict") == "Fits."


def test_the_bundled_brief_is_the_study_s():
    assert brief_from_text(bundled_text(BRIEF), BRIEF) == read_brief(
        ROOT / "studies" / "lantern" / "brief.toml"
    )


def test_every_slider_redraws(visit: Visit):
    sliders = visit.page.locator(SLIDERS)
    assert sliders.count() >= 15
    for index in range(sliders.count()):
        drawn, address = visit.page.inner_html("#sheet") + visit.page.inner_text("#figures"), visit.page.url
        sliders.nth(index).scroll_into_view_if_needed()
        box = sliders.nth(index).bounding_box()
        assert box is not None
        y = box["y"] + box["height"] / 2
        visit.page.mouse.move(box["x"] + box["width"] * 0.4, y)
        visit.page.mouse.down()
        for share in (0.45, 0.53):
            visit.page.mouse.move(box["x"] + box["width"] * share, y)
        visit.page.mouse.up()
        visit.settled()
        now = visit.page.inner_html("#sheet") + visit.page.inner_text("#figures")
        assert now != drawn or visit.page.locator("#controls .fault:visible").count(), index
        visit.until(f"location.href !== {json.dumps(address)}")
        visit.page.click("#undo")
        visit.until(f"location.href === {json.dumps(address)}")
        visit.settled()
    assert visit.volts() == pytest.approx(evaluate(lantern()).emf_rms_V, rel=2e-3)
    visit.forgive("422")  # a slider drawn past its partner is told so


def test_shapes_grades_and_wires_redraw(visit: Visit):
    for topology, coils in (("serpentine", 1), ("round", 16), ("wedge", 16)):
        visit.page.check(f"#controls input[value={topology}]")
        visit.settled()
        assert topology in visit.page.inner_text("#figures")
        outlines = visit.page.locator("#sheet .COIL_OUTLINE > *, #sheet .COIL_OUTLINE_REVERSED > *")
        assert outlines.count() == 2 * coils
    visit.page.select_option("#c-carrier-magnet-grade", "N52")
    visit.page.select_option("#c-winding-wire-diameter_mm", "0.2")
    visit.settled()
    assert visit.volts() == pytest.approx(evaluate(lantern()).emf_rms_V * 1.43 / 1.28, rel=5e-3)


def test_misfits_are_drawn_named_and_never_clamped(visit: Visit):
    visit.page.fill("#c-carrier-pitch_radius_mm", "50")
    expect(visit.page.locator("#misfits li")).to_have_count(1)
    words = visit.page.inner_text("#misfits li")
    assert "wall from magnet pocket to rim must be at least 2 mm, was −2.5 mm" in words
    assert visit.page.inner_text("#c-carrier-pitch_radius_mm-fault").endswith(
        words.split(maxsplit=1)[1].strip()
    )
    assert visit.page.locator("#sheet .claimed").count() == 16
    assert visit.page.locator("#sheet .spot").count() == 1
    assert visit.page.input_value("#c-carrier-pitch_radius_mm") == "50"
    assert "Does not fit" in visit.page.inner_text("#verdict")


def test_nonsense_is_told_beside_its_control(visit: Visit):
    visit.page.fill("#c-carrier-count", "7")
    expect(visit.page.locator("#c-carrier-count-fault")).to_contain_text("even number of at least 2, was 7")
    visit.page.fill("#c-carrier-count", "many")
    expect(visit.page.locator("#c-carrier-count-fault")).to_contain_text('was "many"')
    assert visit.page.input_value("#c-carrier-count") == "many"
    visit.page.fill("#c-carrier-count", "14")
    expect(visit.page.locator("#c-carrier-count-fault")).to_be_hidden()
    visit.forgive("422")


def test_a_reload_loses_nothing_and_undo_survives_it(visit: Visit):
    visit.page.fill("#c-winding-turns", "70")
    visit.page.keyboard.press("Tab")
    visit.until("location.hash.includes('winding.turns=70')")
    visit.settled()
    shown = visit.page.inner_text("#rms")
    visit.page.reload()
    visit.settled()
    assert visit.page.inner_text("#rms") == shown
    assert visit.page.input_value("#c-winding-turns") == "70"
    visit.page.click("#undo")
    expect(visit.page.locator("#c-winding-turns")).to_have_value("78")
    visit.page.click("#redo")
    expect(visit.page.locator("#c-winding-turns")).to_have_value("70")
    stored = visit.page.evaluate("[localStorage.length, sessionStorage.length, document.cookie]")
    assert stored == [0, 0, ""]


def test_the_rotor_turns_and_the_dot_runs(visit: Visit):
    turned = []
    for degrees in (0, 5.5, 11):
        visit.page.locator("#angle").fill(str(degrees))
        dot = visit.page.locator("#waveform .dot")
        turned.append(
            (
                visit.page.get_attribute("#sheet .POCKETS_NORTH", "transform"),
                float(dot.get_attribute("cx") or 0),
                -float(dot.get_attribute("cy") or 0),
            )
        )
    assert turned[1][0] == "rotate(-5.5)"
    assert all(a[1] < b[1] and a[2] < b[2] for a, b in pairwise(turned))
    assert visit.page.locator("#sheet .COIL_OUTLINE").get_attribute("transform") is None
    box = visit.page.locator("#sheet svg").bounding_box()
    assert box is not None
    visit.page.mouse.move(box["x"] + box["width"] * 0.75, box["y"] + box["height"] / 2)
    visit.page.mouse.down()
    visit.page.mouse.move(box["x"] + box["width"] * 0.7, box["y"] + box["height"] * 0.3, steps=4)
    visit.page.mouse.up()
    assert 20 < float(visit.page.input_value("#angle")) < 90


def test_keyboard_alone(visit: Visit):
    page = visit.page
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "c-winding-turns-slide":
            break
    else:
        pytest.fail("the turns cannot be reached with Tab")
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") != "none"
    page.keyboard.press("ArrowRight")
    visit.until("location.hash.includes('winding.turns=79')")
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Control+z")
    page.wait_for_timeout(300)
    page.keyboard.press("Tab")
    page.keyboard.press("Control+z")
    expect(page.locator("#c-winding-turns")).to_have_value("78")
    page.keyboard.press("Control+Shift+z")
    expect(page.locator("#c-winding-turns")).to_have_value("79")


def test_the_way_to_a_part_keeps_the_design(visit: Visit):
    visit.page.fill("#c-winding-turns", "70")
    visit.page.keyboard.press("Tab")
    visit.until("location.hash.includes('winding.turns=70')")
    for part in ("Take", "Search"):
        visit.page.click(f"nav a:has-text('{part}')")
        visit.until(f"document.activeElement.id === '{part.lower()}'")
    assert "winding.turns=70" in visit.page.url
    assert visit.page.input_value("#c-winding-turns") == "70"


def test_inches_beside_millimetres(visit: Visit):
    visit.page.check("#inches")
    row = visit.page.locator(".control", has=visit.page.locator("#c-carrier-pitch_radius_mm"))
    expect(row.locator(".inch")).to_have_text("= 1.787 in")
    assert "view.inch=1" in visit.page.url


@pytest.mark.parametrize("kind", ["layout", "brief"])
def test_a_file_opens_and_a_wrong_one_is_told(visit: Visit, tmp_path: Path, kind: str):
    path = tmp_path / "mine.toml"
    if kind == "layout":
        path.write_text(layout_text(lantern()).replace("turns = 78", "turns = 61"))
        visit.page.set_input_files("#open", path)
        expect(visit.page.locator("#c-winding-turns")).to_have_value("61")
    else:
        thin = bundled_text(BRIEF).replace("[coil]", "[coil]\nleast_layers = 2")
        path.write_text(thin.replace("rpm = 400", "rpm = 333"))
        visit.page.set_input_files("#open", path)
        expect(visit.page.locator("#b-speed-rpm")).to_have_value("333")
        expect(visit.page.locator("#b-coil-least_layers")).to_have_value("2")
    path.write_text("[space]\nouter_diameter = 3\n")
    visit.page.set_input_files("#open", path)
    expect(visit.page.locator("#trouble")).to_contain_text("outer_diameter")
    visit.forgive("422")


def test_a_layout_given_on_the_command_line(browser: Browser, tmp_path: Path):
    path = tmp_path / "mine.toml"
    path.write_text(layout_text(lantern()).replace("turns = 78", "turns = 62"))
    process, address = served(str(path))
    context = browser.new_context()
    page = Visit(context.new_page(), address).open().page
    assert page.input_value("#c-winding-turns") == "62"
    context.close()
    ended(process)


def test_kept_designs_stand_side_by_side(visit: Visit):
    visit.page.click("#keep")
    visit.page.fill("#c-winding-turns", "40")
    visit.page.keyboard.press("Tab")
    visit.until("location.hash.includes('winding.turns=40')")
    visit.page.click("#keep")
    expect(visit.page.locator("#kept .card")).to_have_count(2)
    visit.page.reload()
    expect(visit.page.locator("#kept .card")).to_have_count(2)
    row = visit.page.locator("#kept tr", has_text="Voltage").first.inner_text().split("\t")
    assert [cell.replace("\xa0", " ").strip() for cell in row] == ["Voltage", "8.82 V", "4.52 V"]


def test_a_load_and_a_hand(visit: Visit):
    visit.page.select_option("#u-kind", "bridge-capacitor")
    visit.page.check("#u-hand")
    visit.page.click("#u-go")
    expect(visit.page.locator("#u-words")).to_have_text("Done.")
    study = study_load(lantern(), BridgeCapacitor(ohms=20, farads=1e-3, drop=DIODES["schottky"]))
    shown = visit.page.locator("#u-answer div", has_text="Power of the load").first.inner_text()
    assert f"{study.point.load_watts:.3g}" in shown
    assert "from the hand" in visit.page.inner_text("#u-answer")
    visit.page.fill("#u-load-resistance_ohm", "none")
    visit.page.click("#u-go")
    expect(visit.page.locator("#u-words")).to_contain_text('must be a number, was "none"')
    visit.forgive("422")
