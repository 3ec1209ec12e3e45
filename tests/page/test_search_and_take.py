"""A search followed, cancelled and left, its brief by hand, its machines picked; files taken and the command line's."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from playwright.sync_api import Browser, expect
from visiting import Visit, commanded

from geometry.machine.layout_file import layout_from_text, layout_text
from optimizer.answers.downloads import FILES, SIMULATION_FILES, download
from optimizer.answers.file_names import FILE_NAMES, SIMULATION_FILE_NAMES
from optimizer.answers.page_values import flat_of_text, layout_of
from optimizer.answers.search_answer import search
from optimizer.brief.brief import brief_from_text
from optimizer.page.app import start_of

START = start_of(None)
SEEK, WORDS, CARDS = "#seek", "#search-words", "#found .card"
# the best so far is gone when the search ends, which may be at once
REMEMBER = """new MutationObserver((changes) => {
  const [first] = changes.flatMap((change) => [...change.addedNodes]);
  if (first) document.body.dataset.best ??= first.textContent;
}).observe(document.getElementById("sofar"), { childList: true })"""
BLOCKS = {
    "space.outer_diameter_mm": "64", "magnets.1.shape": "block", "magnets.1.length_mm": "12",
    "magnets.1.width_mm": "9", "magnets.1.quantity": "4", "magnets.1.temperature_C": "40",
    "wire.diameters_mm": "0.315", "coil.topologies": "wedge",
}  # fmt: skip
BRIEFS = {
    "blocks in one and three phases before steel": BLOCKS | {
        "coil.phases": "1, 3", "rotor.plate_mm": "3", "coil.least_layers": "2",
    },
    "a load's power": BLOCKS | {
        "goal.maximise": "load_power", "load.kind": "resistor", "load.resistance_ohm": "8", "coil.topologies": "round",
    },
}  # fmt: skip


def small(visit: Visit) -> None:
    """A brief that is searched fast."""
    visit.page.fill("#b-space-outer_diameter_mm", "70")
    visit.page.fill("#b-magnets-1-quantity", "4")
    visit.page.locator("#b-magnets-1-quantity").blur()
    for stated in ("brief.space.outer_diameter_mm=70&", "brief.magnets.1.quantity=4&"):
        visit.until(f"location.hash.includes('{stated}')")


def brief_values(name: str) -> dict[str, str]:
    """The page's values of a brief that is searched fast."""
    return {key: value for key, value in START["brief"].items() if key != "magnets.1.diameter_mm"} | BRIEFS[name]


def file_of(name: str, **wanted: Any) -> bytes:
    """The bytes of a file that the page gives."""
    whole = {"design": START["design"], "brief": START["brief"], "paper": "A4", "even_so": False, "result": None}
    return download({"name": name, **(whole | wanted)})  # type: ignore[typeddict-item]


@pytest.mark.search
@pytest.mark.usefixtures("shared_searches")
@pytest.mark.parametrize("name", BRIEFS)
def test_a_search_gives_what_the_command_line_gives(tmp_path: Path, name: str):
    asked, told = brief_values(name), list[dict[str, Any]]()
    answer = search(asked, told.append)
    (tmp_path / "brief.toml").write_bytes(file_of("brief.toml", brief=asked))
    printed = commanded("optimize", tmp_path / "brief.toml", "--out", tmp_path / "out", "--pack").replace("\xa0", " ")
    written = {
        path.relative_to(tmp_path / "out").as_posix(): path.read_bytes()
        for path in (tmp_path / "out").rglob("*")
        if path.is_file()
    }
    (tmp_path / "search.zip").write_bytes(file_of("search.zip", brief=asked, result=answer["result"]))
    with ZipFile(tmp_path / "search.zip") as archive:
        found = {part.removeprefix("search/"): archive.read(part) for part in archive.namelist()}
    assert found == written
    assert written["pack/brief.toml"] == (tmp_path / "brief.toml").read_bytes()
    best = json.loads(written["result.json"])["best"]
    assert best["magnet"]["shape"] == "block"
    if "load" in name:
        said = printed.splitlines()[1].strip()
        assert said.startswith("gets ")
        assert said in json.dumps(answer["found"], ensure_ascii=False).replace("\xa0", " ")
    else:
        brief = brief_from_text((tmp_path / "brief.toml").read_text(), "brief")
        assert (brief.phases, brief.plate, brief.magnets[0].magnet.temperature) == ((1, 3), 0.003, 40)
        assert brief.least_layers == 2
        assert {entry["phases"] for entry in json.loads(written["result.json"])["by_phases"]} == {1, 3}


def test_every_file_that_may_be_asked_for_can_be_made():
    assert set(FILES) == set(FILE_NAMES)
    assert set(SIMULATION_FILES) == set(SIMULATION_FILE_NAMES)


@pytest.mark.slow
def test_files_of_a_design_are_the_command_line_s(tmp_path: Path):
    layout, names = tmp_path / "layout.toml", [name for name in FILES if name.startswith("template.")]
    design = START["design"] | {"winding.turns": "76"}
    layout.write_text(layout_text(layout_of(design)))
    commanded("template", layout, "--out", tmp_path, "--zip")
    assert len(names) == 3
    for name in ("layout.toml", "build_pack.zip", *names):
        assert file_of(name, design=design) == (tmp_path / name).read_bytes(), name
    assert layout_from_text(layout.read_text(), "taken").winding.turns == 76


def test_a_search_cancelled_reloaded_finished_picked_and_taken(seen: Visit, tmp_path: Path):
    page, before = seen.page, seen.page.inner_text("#rms")
    page.click(SEEK)
    seen.until("!document.querySelector('#cancel').hidden")
    assert seen.focused() == "cancel"
    page.wait_for_selector("#sofar svg")
    page.keyboard.press("Enter")
    expect(page.locator(WORDS)).to_contain_text("Cancelled")
    assert page.inner_text("#rms") == before
    page.click(SEEK)
    page.wait_for_selector("#sofar svg")  # the whole brief: there is time to see it
    small(seen)
    page.reload()
    seen.settled()
    assert page.is_enabled(SEEK)
    assert page.input_value("#b-space-outer_diameter_mm") == "70"
    page.click(SEEK)
    expect(page.locator(CARDS).first).to_be_visible()
    seen.settled()
    expect(page.locator(WORDS)).to_contain_text("layouts were considered")
    assert "would bring" in page.inner_text("#why")
    page.reload()
    expect(page.locator(CARDS).first).to_be_visible()
    page.click(CARDS)
    expect(page.locator("#c-carrier-count")).to_have_value("2")
    page.click("#undo")
    expect(page.locator("#c-carrier-count")).not_to_have_value("2")
    seen.turned_to(76)
    text = seen.taken("layout.toml", tmp_path).read_text()
    assert layout_from_text(text, "taken").winding.turns == 76
    assert "layout.toml" in page.evaluate("document.activeElement.innerText")
    design = flat_of_text(text)
    assert seen.taken("template.pdf", tmp_path).read_bytes() == file_of("template.pdf", design=design)
    seen.taken("search.zip", tmp_path)
    with ZipFile(tmp_path / "search.zip") as archive:
        assert archive.read("search/pack/brief.toml") == seen.taken("brief.toml", tmp_path).read_bytes()


def test_searches_one_at_a_time_and_for_a_load(visit: Visit, browser: Browser):
    page = visit.page
    context = browser.new_context()
    other = Visit(context.new_page(), visit.address).open()
    other.page.click(SEEK)
    other.page.wait_for_selector("#stage-words:has-text('%')")
    page.click(SEEK)
    expect(page.locator(WORDS)).to_contain_text("under way already")
    visit.forgive("409")
    context.close()  # a page that goes away ends its own search
    for _ in range(2):  # one right after a cancelled one is never told to wait
        page.click(SEEK)
        page.wait_for_selector("#stage-words:has-text('%')")
        page.evaluate("document.getElementById('cancel').click()")
        visit.until("!document.getElementById('seek').disabled")
    assert "under way" not in page.inner_text(WORDS)
    page.fill("#b-space-outer_diameter_mm", "70")
    page.fill("#b-magnets-1-quantity", "4")
    page.locator("#b-magnets-1-quantity").blur()
    tick_only(visit, "Coil shapes to try", {"round"})
    tick_only(visit, "Wire sizes to choose from, bare copper, mm", {"0.315"})
    page.check("#b-goal-maximise-load_power")
    page.evaluate(REMEMBER)
    page.click(SEEK)
    expect(page.locator("#found .compared")).to_contain_text("compared by their EMF, not by what the load gets")
    so_far = page.evaluate("document.body.dataset.best")
    assert so_far.startswith("Best so far: ")
    assert "for the load" in so_far
    cards = page.locator("#found .card .for-load").all_inner_texts()
    assert len(cards) == page.locator(CARDS).count()
    assert all(words.endswith("for the load") for words in cards)
    assert "The goal was the most power for the load" in page.inner_text("#why")
    assert page.inner_text("body").count("not by what the load gets of each") == 1


def tick_only(visit: Visit, legend: str, wanted: set[str]) -> None:
    """Tick these of a group of the brief's form."""
    for box in visit.page.locator(f"#brief fieldset:has(legend:text-is('{legend}')) input").all():
        box.set_checked(box.get_attribute("value") in wanted)


def told(visit: Visit, key: str, words: str) -> None:
    """Search, and see a fault told beside its field."""
    visit.page.click(SEEK)
    expect(visit.page.locator(f"#b-{key}-fault")).to_contain_text(words)


def test_a_brief_by_hand(visit: Visit, tmp_path: Path):
    page = visit.page
    page.fill("#b-magnets-1-diameter_mm", "60")
    page.locator("#b-magnets-1-diameter_mm").blur()
    page.click(SEEK)
    expect(page.locator(WORDS)).to_contain_text("fit")
    page.fill("#b-speed-rpm", "fast")
    told(visit, "speed-rpm", '"fast"')
    page.fill("#b-speed-rpm", "400")
    page.select_option("#b-magnets-1-shape", "block")
    page.fill("#b-magnets-1-width_mm", "wide")
    told(visit, "magnets-1-width_mm", 'was "wide"')
    page.fill("#b-magnets-1-width_mm", "9")
    page.fill("#b-rotor-plate_mm", "99")
    told(visit, "rotor-plate_mm", "at most 50")
    page.fill("#b-rotor-plate_mm", "3")
    for legend, key in (("Numbers of phases to try", "coil-phases"), ("Coil shapes to try", "coil-topologies")):
        tick_only(visit, legend, set())
        told(visit, key, "none")
        tick_only(visit, legend, {"3", "wedge"})
    page.fill("#b-space-outer_diameter_mm", "64")
    page.fill("#b-magnets-1-length_mm", "12")
    page.fill("#b-magnets-1-quantity", "4")
    tick_only(visit, "Wire sizes to choose from, bare copper, mm", {"0.315"})
    page.click(SEEK)
    card = page.locator("#found h3:text-is('Best by number of magnets') + ul .card").last
    card.click()
    visit.settled()
    page.locator("#waveform polyline").nth(2).wait_for(state="attached")  # the card's machine may take a moment
    assert page.locator("#waveform polyline").count() == 3
    brief = brief_from_text(visit.taken("brief.toml", tmp_path).read_text(), "brief")
    assert (brief.phases, brief.plate, brief.topologies) == ((3,), 0.003, ("wedge",))
    visit.forgive("422")
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
    page.fill("#c-carrier-pitch_radius_mm", "52")  # what does not fit cannot be built
    page.wait_for_selector("#misfits li")
    page.click("[data-file='template.dxf']")
    expect(page.locator("#take-words")).to_contain_text("must be at least 2 mm")
    visit.forgive("422")
