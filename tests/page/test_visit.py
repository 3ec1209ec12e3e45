"""The page as a person meets it, in real browsers: a first visit, every slider, the keyboard alone, steps and files."""

from __future__ import annotations

import json
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Browser, expect
from visiting import ROOT, Visit, ended, served

from geometry.machine.layout_file import layout_from_text, layout_text
from optimizer.brief.brief import brief_from_text, read_brief
from optimizer.evaluation.chain import evaluate
from optimizer.loads.load_file import read_load
from optimizer.motors.motor_file import read_rewind
from optimizer.starters.file_kinds import example_text

SLIDERS = "#controls input[type=range]:visible"
TURNS, PITCH = "#c-winding-turns", "#c-carrier-pitch_radius_mm"


def lantern():
    return layout_from_text(example_text("layout"), "layout.toml")


def test_the_bundled_lantern_is_wound_from_the_bundled_brief_s_wire_with_ends_and_spare():
    brief = brief_from_text(example_text("brief"), "brief.toml")
    assert brief.length is not None
    assert 0.98 * brief.length < evaluate(lantern()).wire_needed_m <= brief.length


def test_the_bundled_brief_is_the_study_s():
    assert brief_from_text(example_text("brief"), "brief.toml") == read_brief(
        ROOT / "studies" / "lantern" / "brief.toml"
    )


@pytest.mark.slow
def test_a_layout_given_on_the_command_line(tmp_path: Path):
    path = tmp_path / "mine.toml"
    path.write_text(layout_text(lantern()).replace("turns = 78", "turns = 62"))
    process, address = served(str(path))
    assert httpx.get(f"{address}/start").json()["design"]["winding.turns"] == "62"
    ended(process)


def test_a_first_visit(seen: Visit):
    page = seen.page
    assert page.inner_text("#hint").count(".") == 2
    assert "Hand-spun lantern" in page.title()
    assert seen.volts() == pytest.approx(evaluate(lantern()).emf_rms_V, rel=2e-3)
    assert page.locator("#sheet .POCKETS_NORTH circle").count() == 8
    assert page.inner_text("#verdict") == "Fits."
    assert min(page.locator("#sheet svg").evaluate("it => [it.clientWidth, it.clientHeight]")) > 350
    assert page.evaluate("document.querySelector('.readout').getBoundingClientRect().bottom <= innerHeight")
    the_rotor_turns_and_the_dot_runs(seen)
    shapes_grades_and_wires_redraw(seen.afresh())
    page.check("#inches")
    row = page.locator(".field", has=page.locator(PITCH))
    expect(row.locator(".inch")).to_have_text("= 1.787 in")
    assert "view.inch=1" in page.url
    violations_are_drawn_named_and_never_clamped(seen.afresh())
    nonsense_is_told_beside_its_control(seen.afresh())


def the_rotor_turns_and_the_dot_runs(visit: Visit) -> None:
    page = visit.page
    turned: list[tuple[float, float]] = []
    page.focus("#angle")
    for steps in (1, 10, 11):
        for _ in range(steps):
            page.keyboard.press("ArrowRight")
        dot = page.locator("#waveform .dot")
        turned.append((float(dot.get_attribute("cx") or 0), -float(dot.get_attribute("cy") or 0)))
    assert page.get_attribute("#sheet .POCKETS_NORTH", "transform") == "rotate(-11)"
    assert turned == sorted(turned)
    assert [height for _, height in turned] == sorted({height for _, height in turned})
    assert page.locator("#sheet .COIL_OUTLINE").get_attribute("transform") is None
    x, y = page.locator("#sheet svg").evaluate("it => (m => [m.e, m.f])(it.getScreenCTM())")
    visit.drag((x + 100, y), (x + 70, y - 70), (x, y - 100))
    assert float(page.input_value("#angle")) == pytest.approx(101, abs=1.5)
    assert page.evaluate("getSelection().toString()") == ""


def shapes_grades_and_wires_redraw(visit: Visit) -> None:
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


def violations_are_drawn_named_and_never_clamped(visit: Visit) -> None:
    page = visit.page
    page.fill(PITCH, "50")
    expect(page.locator("#misfits li")).to_have_count(1)
    words = page.inner_text("#misfits li")
    assert "wall from magnet pocket to rim must be at least 2 mm, was −2.5 mm" in words
    assert page.inner_text(f"{PITCH}-fault").endswith(words.split(maxsplit=1)[1].strip())
    mark = page.locator(f"{PITCH}-fault").evaluate("it => getComputedStyle(it, '::before').content")
    assert mark == '"▲ "'
    assert page.locator("#sheet .claimed").count() == 16
    assert page.locator("#sheet .spot").count() == 1
    assert page.input_value(PITCH) == "50"
    assert "Does not fit" in page.inner_text("#verdict")


def nonsense_is_told_beside_its_control(visit: Visit) -> None:
    count, fault = visit.page.locator("#c-carrier-count"), visit.page.locator("#c-carrier-count-fault")
    count.fill("7")
    expect(fault).to_contain_text("even number of at least 2, was 7")
    count.fill("many")
    expect(fault).to_contain_text('was "many"')
    assert count.input_value() == "many"
    count.fill("14")
    expect(fault).to_be_hidden()
    visit.forgive("422")


def test_what_watches_can_see(either: Browser, address: str):
    """Complaints and requests to others would be noticed, in both browsers."""
    page = either.new_page()
    visit = Visit(page, address).open()
    page.evaluate("console.error('so it is told')")
    page.goto("data:text/html,<p>elsewhere")
    page.evaluate("fetch('http://elsewhere.invalid/x', {mode: 'no-cors'}).catch(() => 'refused')")
    assert visit.complaints[0] == "so it is told"
    assert "http://elsewhere.invalid/x" in visit.outside
    page.close()


def test_every_slider_redraws(visit: Visit):
    sliders = visit.page.locator(SLIDERS)
    assert sliders.count() >= 15
    for index in range(sliders.count()):
        drawn, address = visit.page.inner_html("#sheet") + visit.page.inner_text("#figures"), visit.page.url
        sliders.nth(index).scroll_into_view_if_needed()
        box = sliders.nth(index).bounding_box()
        assert box is not None
        y = box["y"] + box["height"] / 2
        visit.drag(*((box["x"] + box["width"] * share, y) for share in (0.4, 0.45, 0.53)))
        visit.settled()
        now = visit.page.inner_html("#sheet") + visit.page.inner_text("#figures")
        assert now != drawn or visit.page.locator("#controls .fault:visible").count(), index
        visit.until(f"location.href !== {json.dumps(address)}")
        visit.page.click("#undo")
        visit.until(f"location.href === {json.dumps(address)}")
        visit.settled()
    assert visit.volts() == pytest.approx(evaluate(lantern()).emf_rms_V, rel=2e-3)
    visit.forgive("422")  # a slider drawn past its partner is told so


def test_keyboard_alone(seen: Visit):
    page = seen.page
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.innerText") == "To the controls"
    assert page.evaluate("document.querySelector('.skip').getBoundingClientRect().x") >= 0
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    passed = [seen.focused()]
    while passed[-1] != "c-winding-turns-slide":
        page.keyboard.press("Tab")
        passed.append(seen.focused())
        assert len(passed) < 60, passed
    assert passed[:2] == ["c-carrier-count-slide", "c-carrier-count"]
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
    page.keyboard.press("ArrowRight")
    seen.until("location.hash.includes('winding.turns=79')")
    page.keyboard.press("Control+z")
    expect(page.locator(TURNS)).to_have_value("78")
    page.keyboard.press("Control+Shift+z")
    expect(page.locator(TURNS)).to_have_value("79")
    page.keyboard.press("Tab")
    page.keyboard.press("ArrowUp")
    seen.until("location.hash.includes('winding.turns=80')")
    seen.settled()
    address = page.url
    for number, part in enumerate(("adjust", "search", "understand", "use", "take"), 1):
        page.click(f"nav a:nth-child({number})")
        assert seen.focused() == part
        seen.until(f"(b => b.top < innerHeight / 2 && b.bottom > 60)({part}.getBoundingClientRect())")
    assert (page.input_value(TURNS), page.url) == ("80", address)


def test_steps_reloads_and_addresses_keep_the_design(visit: Visit, browser: Browser):
    page, turns = visit.page, visit.page.locator(TURNS)
    first, second = visit.turned_to(70), visit.turned_to(60)
    for typed in ("take", "use", "nothing", ""):  # a part typed by hand keeps design and steps
        page.evaluate("part => { location.hash = part; }", typed)
        page.wait_for_timeout(300)
        assert page.url == second
        assert typed not in ("take", "use") or visit.focused() == typed
    shown = page.inner_text("#rms")
    page.reload()
    visit.settled()
    assert (page.inner_text("#rms"), turns.input_value()) == (shown, "60")
    page.click("#undo")
    expect(turns).to_have_value("70")
    page.click("#redo")
    expect(turns).to_have_value("60")
    assert page.evaluate("[localStorage.length, sessionStorage.length, document.cookie]") == [0, 0, ""]
    page.go_back()
    expect(turns).to_have_value("70")
    assert page.url == first
    page.click("#redo")
    expect(turns).to_have_value("60")
    assert page.url == second
    page.go_back()
    visit.until("location.hash.includes('winding.turns=70')")
    page.reload()
    visit.settled()
    assert turns.input_value() == "70"
    assert page.is_enabled("#redo")
    page.go_forward()
    expect(turns).to_have_value("60")
    page.evaluate("hash => { location.hash = hash; }", second.split("#")[1].replace("turns=60", "turns=55"))
    expect(turns).to_have_value("55")  # a design typed by hand is a step
    page.click("#undo")
    expect(turns).to_have_value("60")
    expect(page.locator("#redo")).to_be_enabled()
    visit.afresh("#take")
    assert visit.focused() == "take"
    assert "winding.turns=78" in page.url
    designs_kept_and_carried_elsewhere(visit, browser)


def designs_kept_and_carried_elsewhere(visit: Visit, browser: Browser) -> None:
    page = visit.page
    page.check("#u-hand")
    page.select_option("#u-rig-mechanism", "cord")
    page.click("#keep")
    address = visit.turned_to(40)
    page.click("#keep")
    expect(page.locator("#kept .card")).to_have_count(2)
    page.reload()
    expect(page.locator("#kept .card")).to_have_count(2)
    row = page.locator("#kept tr", has_text="Voltage").first.inner_text().split("\t")
    assert [cell.replace("\xa0", " ").strip() for cell in row] == ["Voltage", "8.82 V", "4.52 V"]
    context = browser.new_context()
    other = Visit(context.new_page(), visit.address).open("#" + page.url.split("#")[1])
    assert other.page.url == page.url != address
    assert other.page.input_value(TURNS) == "40"
    assert other.page.input_value("#u-rig-mechanism") == "cord"
    expect(other.page.locator("#kept .card")).to_have_count(2)
    context.close()


def test_files_open_and_wrong_ones_are_told(visit: Visit, tmp_path: Path):
    page, path = visit.page, tmp_path / "mine.toml"
    path.write_text(layout_text(lantern()).replace("turns = 78", "turns = 61"))
    page.set_input_files("#open", path)
    expect(page.locator(TURNS)).to_have_value("61")
    thin = example_text("brief").replace("[coil]", "[coil]\nleast_layers = 2")
    path.write_text(thin.replace("rpm = 400", "rpm = 333"))
    page.set_input_files("#open", path)
    expect(page.locator("#b-speed-rpm")).to_have_value("333")
    expect(page.locator("#b-coil-least_layers")).to_have_value("2")
    path.write_text("[space]\nouter_diameter = 3\n")
    page.set_input_files("#open", path)
    expect(page.locator("#trouble")).to_contain_text("outer_diameter")
    a_rig_s_and_a_load_s_file_open(visit, tmp_path)
    a_motor_s_file_opens_and_is_undone(visit, tmp_path)
    visit.forgive("422")


def a_rig_s_and_a_load_s_file_open(visit: Visit, folder: Path) -> None:
    page = visit.page
    page.check("#u-hand")
    page.select_option("#u-rig-mechanism", "crank")
    page.fill("#u-load-resistance_ohm", "33")
    page.click("#u-go")
    expect(page.locator("#u-words")).to_have_text("Done.")
    rig, load = visit.taken("rig.toml", folder), visit.taken("load.toml", folder)
    assert read_load(load).ohms == 33
    page.uncheck("#u-hand")
    page.select_option("#u-load-kind", "resistor")
    expect(page.locator("#u-rig")).to_be_empty()
    page.set_input_files("#open", rig)
    expect(page.locator("#u-rig-mechanism")).to_have_value("crank")
    page.set_input_files("#open", load)
    expect(page.locator("#u-load-kind")).to_have_value("bridge-resistor")
    expect(page.locator("#u-load-resistance_ohm")).to_have_value("33")
    rig.write_text(rig.read_text().replace("arm_mm = 120", "arm_mm = 0"))
    page.set_input_files("#open", rig)
    expect(page.locator("#trouble")).to_contain_text("mechanism.crank.arm_mm")
    page.uncheck("#u-hand")


def a_motor_s_file_opens_and_is_undone(visit: Visit, folder: Path) -> None:
    page, mass = visit.page, visit.page.locator("#u-motor-motor-mass_g")
    page.check("#u-beside")
    mass.fill("99")
    page.click("#u-go")
    expect(page.locator("#u-words")).to_have_text("Done.")
    path = visit.taken("motor.toml", folder)
    assert read_rewind(path).motor.mass == pytest.approx(0.099)
    mass.fill("58")
    expect(page.locator("#u-words")).to_contain_text("have changed")
    page.uncheck("#u-beside")
    expect(page.locator("#u-motor")).to_be_empty()
    page.set_input_files("#open", path)
    expect(mass).to_have_value("99")
    page.click("#undo")
    expect(page.locator("#u-motor")).to_be_empty()
    path.write_text(path.read_text().replace("coils = 3", "coils = 4"))
    page.set_input_files("#open", path)
    expect(page.locator("#trouble")).to_contain_text("motor.coils: must be an odd number")
