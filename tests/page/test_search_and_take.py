"""A search followed, cancelled and left; files taken and compared with the command line's."""

from __future__ import annotations

from pathlib import Path
from zipfile import ZipFile

import pytest
from playwright.sync_api import Browser, expect
from visiting import Visit, command

SMALL = {"#b-space-outer_diameter_mm": "70", "#b-magnets-1-quantity": "8"}


def small(visit: Visit) -> None:
    """A brief that is searched fast."""
    for field, value in SMALL.items():
        visit.page.fill(field, value)
    visit.page.locator("#b-magnets-1-quantity").blur()


def taken(visit: Visit, name: str, folder: Path) -> bytes:
    """The bytes that the page's button of that name gives."""
    with visit.page.expect_download() as download:
        visit.page.click(f"[data-file='{name}']")
    path = folder / name
    download.value.save_as(path)
    assert download.value.suggested_filename == name
    return path.read_bytes()


def test_search_pick_and_take(visit: Visit, tmp_path: Path):
    small(visit)
    visit.page.click("#seek")
    expect(visit.page.locator("#found .card").first).to_be_visible()
    expect(visit.page.locator("#search-words")).to_contain_text("layouts were considered")
    assert "would bring" in visit.page.inner_text("#why")
    brief = taken(visit, "brief.toml", tmp_path)
    command("optimize", tmp_path / "brief.toml", "--out", tmp_path / "out", "--pack")
    assert brief == (tmp_path / "out" / "pack" / "brief.toml").read_bytes()
    taken(visit, "search.zip", tmp_path)
    with ZipFile(tmp_path / "search.zip") as archive:
        found = {name.removeprefix("search/"): archive.read(name) for name in archive.namelist()}
    written = {
        path.relative_to(tmp_path / "out").as_posix(): path.read_bytes()
        for path in (tmp_path / "out").rglob("*")
        if path.is_file()
    }
    assert found == written
    assert taken(visit, "layout.toml", tmp_path) == written["layout.toml"]
    visit.page.reload()
    expect(visit.page.locator("#found .card").first).to_be_visible()
    visit.page.click("#found .card >> nth=0")
    expect(visit.page.locator("#c-carrier-count")).to_have_value("2")
    visit.page.click("#undo")
    expect(visit.page.locator("#c-carrier-count")).not_to_have_value("2")


def test_cancel_leaves_everything_as_it_was_and_frees_the_search(visit: Visit):
    before = visit.page.inner_text("#rms")
    visit.page.click("#seek")
    visit.page.wait_for_selector("#sofar svg")
    visit.page.keyboard.press("Enter")  # the focus is on Cancel
    expect(visit.page.locator("#search-words")).to_contain_text("Cancelled")
    assert visit.page.inner_text("#rms") == before
    small(visit)
    visit.page.click("#seek")
    visit.page.wait_for_selector("#found .card")


def test_one_search_at_a_time_and_a_page_that_goes_away_ends_its_own(visit: Visit, browser: Browser):
    context = browser.new_context()
    other = Visit(context.new_page(), visit.address).open()
    other.page.click("#seek")
    other.page.wait_for_selector("#stage-words:has-text('%')")
    visit.page.click("#seek")
    expect(visit.page.locator("#search-words")).to_contain_text("under way already")
    visit.forgive("409")
    context.close()
    small(visit)
    visit.page.click("#seek")
    visit.page.wait_for_selector("#found .card")


def test_a_brief_that_nothing_fits_is_told(visit: Visit):
    visit.page.fill("#b-magnets-1-diameter_mm", "60")
    visit.page.locator("#b-magnets-1-diameter_mm").blur()
    visit.page.click("#seek")
    expect(visit.page.locator("#search-words")).to_contain_text("fit")
    visit.page.fill("#b-speed-rpm", "fast")
    visit.page.click("#seek")
    expect(visit.page.locator("#b-speed-rpm-fault")).to_contain_text('"fast"')


@pytest.mark.parametrize(
    "name", ["template.pdf", "template.dxf", "template.svg", "layout.toml", "build_pack.zip"]
)
def test_files_equal_the_command_line_s(visit: Visit, tmp_path: Path, written: Path, name: str):
    visit.page.fill("#c-winding-turns", "76")
    visit.page.keyboard.press("Tab")
    visit.until("location.hash.includes('winding.turns=76')")
    assert taken(visit, name, tmp_path) == (written / name).read_bytes()


def test_a_misfit_cannot_be_built(visit: Visit):
    visit.page.fill("#c-carrier-pitch_radius_mm", "52")
    visit.page.wait_for_selector("#misfits li")
    visit.page.click("[data-file='template.dxf']")
    expect(visit.page.locator("#take-words")).to_contain_text("must be at least 2 mm")
    visit.forgive("422")
