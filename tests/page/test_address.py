"""The address keeps the design, whatever is typed into it and whichever way the browser's history is walked."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, expect
from visiting import Visit


def turned_to(visit: Visit, turns: int) -> str:
    """Set the turns; the address then."""
    visit.page.fill("#c-winding-turns", str(turns))
    visit.page.keyboard.press("Tab")
    visit.until(f"location.hash.includes('winding.turns={turns}')")
    visit.settled()
    return visit.page.url


@pytest.mark.parametrize("typed", ["take", "use", "nothing", ""])
def test_a_part_typed_by_hand_keeps_design_and_steps(visit: Visit, typed: str):
    turned_to(visit, 70)
    address = turned_to(visit, 60)
    visit.page.click("#undo")
    visit.until("location.hash.includes('winding.turns=70')")
    visit.page.click("#redo")
    visit.until("location.hash.includes('winding.turns=60')")
    visit.page.evaluate("part => { location.hash = part; }", typed)
    visit.page.wait_for_timeout(300)
    assert visit.page.url == address
    assert visit.page.input_value("#c-winding-turns") == "60"
    if typed in ("take", "use"):
        assert visit.page.evaluate("document.activeElement.id") == typed
    visit.page.click("#undo")
    expect(visit.page.locator("#c-winding-turns")).to_have_value("70")


def test_a_visit_that_begins_at_a_part(visit: Visit):
    visit.page.goto("about:blank")
    visit.open("#take")
    assert visit.page.evaluate("document.activeElement.id") == "take"
    assert "winding.turns=78" in visit.page.url


def test_the_browser_s_own_way_back_and_forward(visit: Visit):
    first = turned_to(visit, 70)
    second = turned_to(visit, 60)
    visit.page.go_back()
    expect(visit.page.locator("#c-winding-turns")).to_have_value("70")
    assert visit.page.url == first
    assert visit.page.is_enabled("#redo")
    visit.page.click("#redo")
    expect(visit.page.locator("#c-winding-turns")).to_have_value("60")
    assert visit.page.url == second
    visit.page.go_back()
    visit.until("location.hash.includes('winding.turns=70')")
    visit.page.reload()
    visit.settled()
    assert visit.page.input_value("#c-winding-turns") == "70"
    assert visit.page.is_enabled("#redo")
    visit.page.go_forward()
    expect(visit.page.locator("#c-winding-turns")).to_have_value("60")


def test_a_design_typed_by_hand_is_a_step(visit: Visit):
    address = turned_to(visit, 70)
    visit.page.evaluate(
        "hash => { location.hash = hash; }", address.split("#")[1].replace("turns=70", "turns=55")
    )
    expect(visit.page.locator("#c-winding-turns")).to_have_value("55")
    visit.page.click("#undo")
    expect(visit.page.locator("#c-winding-turns")).to_have_value("70")
    expect(visit.page.locator("#redo")).to_be_enabled()


def test_a_bookmark_opened_elsewhere_is_the_same_design(visit: Visit, browser: Browser):
    visit.page.check("#u-hand")
    visit.page.select_option("#u-mechanism", "cord")
    visit.page.click("#keep")
    address = turned_to(visit, 70)
    context = browser.new_context()
    other = Visit(context.new_page(), visit.address).open("#" + address.split("#")[1])
    assert other.page.url == address
    assert other.page.input_value("#c-winding-turns") == "70"
    assert other.page.input_value("#u-mechanism") == "cord"
    expect(other.page.locator("#kept .card")).to_have_count(1)
    context.close()
