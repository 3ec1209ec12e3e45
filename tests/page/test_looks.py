"""Sizes, schemes, print and accessibility."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from layouts import lantern_layout
from playwright.sync_api import Browser, Page, expect
from shown import card_page
from visiting import Visit, visited

AXE = Path(__file__).parent / "vendor" / "axe.min.js"
SIZES = {
    "wide": (1600, 950),
    "laptop": (1280, 800),
    "tablet": (820, 1100),
    "phone": (390, 844),
    "narrow": (320, 640),
}


# of a screen without touch and of one with: the sizes and schemes that a page is turned to, one after another
SCREENS = {
    "mouse": [("wide", "light"), ("laptop", "light"), ("laptop", "dark"), ("tablet", "light")],
    "touch": [("phone", "light"), ("phone", "dark"), ("narrow", "dark")],
}
OPENED = [("phone", "light"), ("laptop", "dark")]
THREE_SERPENTINES = {
    "winding.phases": "3", "winding.topology": "serpentine", "winding.stacking": "interleaved",
    "winding.width_mm": "5", "winding.turns": "40", "carrier.arrangement": "facing", "carrier.plate_mm": "2",
}  # fmt: skip


def serious(page: Page) -> list[str]:
    """What axe-core finds that is serious or worse; of what passes it lists no places, which takes most of its time."""
    if page.evaluate("typeof axe === 'undefined'"):
        page.add_script_tag(path=AXE)
    found = page.evaluate(
        """async () => (await axe.run(document, {
            runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
            resultTypes: ['violations'],
        })).violations"""
    )
    return [
        f"{rule['id']}: {node['html'][:150]} {node['failureSummary'][:200]}"
        for rule in found
        if rule["impact"] in ("serious", "critical")
        for node in rule["nodes"]
    ]


def narrow_enough(page: Page) -> bool:
    return page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def background(page: Page) -> list[int]:
    color = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    return [int(part) for part in color.removeprefix("rgb(").removesuffix(")").split(",")]


def turned_to(page: Page, size: str, scheme: Any) -> None:
    """Give the page a window of that size and the scheme that its person wants."""
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    page.emulate_media(color_scheme=scheme)
    assert narrow_enough(page)


def accessible(page: Page) -> None:
    page.evaluate("scrollTo(0, 0)")  # what sticks to the window may half cover a field that passes below it
    assert serious(page) == []
    assert narrow_enough(page)


BARE: dict[str, Any] = {"bypass_csp": True, "reduced_motion": "reduce"}


@pytest.mark.parametrize("pointer", SCREENS)
def test_accessible_within_its_width_and_in_its_scheme(browser: Browser, address: str, pointer: str):
    width, height = SIZES[SCREENS[pointer][0][0]]
    screen = {"viewport": {"width": width, "height": height}, "has_touch": pointer == "touch"}
    for seen in visited(browser, address, **BARE, **screen):
        assert narrow_enough(seen.page)
        seen.page.fill("#c-carrier-pitch_radius_mm", "51")
        seen.page.fill("#c-winding-outer_radius_mm", "57")
        seen.page.wait_for_selector("#misfits li >> nth=1")
        for size, scheme in SCREENS[pointer]:
            turned_to(seen.page, size, scheme)
            accessible(seen.page)
            assert_scheme(seen.page, dark=scheme == "dark")


def test_the_check_of_accessibility_can_fail(browser: Browser, address: str):
    for seen in visited(browser, address, **BARE):
        seen.page.evaluate("document.querySelector('label[for=c-winding-turns]').remove()")
        seen.page.evaluate("document.getElementById('c-winding-turns').removeAttribute('id')")
        assert any(words.startswith("label") for words in serious(seen.page))


def assert_scheme(page: Page, *, dark: bool) -> None:
    field = page.locator("#c-winding-turns").evaluate("it => getComputedStyle(it).color")
    if dark:
        assert max(background(page)) < 60
        assert min(int(part) for part in field[4:-1].split(",")) > 200
    else:
        assert min(background(page)) > 220


def test_accessible_with_everything_open(browser: Browser, address: str):
    for seen in visited(browser, address, **BARE, has_touch=True):
        page = seen.page
        turned_to(page, *OPENED[0])
        for key, value in THREE_SERPENTINES.items():
            seen.choose(key, value)
        for box in ("#u-hand", "#u-beside", "#b-goal-maximise-lowest_speed"):
            page.check(box)
        page.select_option("#u-rig-mechanism", "cord")
        page.click("#u-rig-gear")
        page.click("#u-gear")
        page.click("summary:text('Printer and prices')")
        page.click("#u-go")
        expect(page.locator("#u-words")).to_have_text("Done.")
        accessible_on_every(page)
        page.fill("#u-motor-motor-volts", "-1")
        page.click("#u-go")
        expect(page.locator("#u-motor-motor-volts-fault")).to_be_visible()
        seen.choose("carrier.magnet.shape", "block")
        page.fill("#c-carrier-plate_mm", "70")
        expect(page.locator("#c-carrier-plate_mm-fault")).to_be_visible()
        accessible_on_every(page)
        seen.forgive("422")


def accessible_on_every(page: Page) -> None:
    for size, scheme in OPENED:
        turned_to(page, size, scheme)
        accessible(page)


def test_a_phone(either: Browser, address: str):
    for visit in visited(either, address, viewport={"width": 390, "height": 844}, reduced_motion="reduce"):
        page, slider = visit.page, visit.page.locator("#c-operation-air_gap_mm-slide")
        assert narrow_enough(page)
        assert_scheme(page, dark=either.browser_type.name == "firefox")  # whose preferences say so
        slider.evaluate("it => it.scrollIntoView({block: 'center', behavior: 'instant'})")
        drawing, box, before = page.locator("#sheet svg").bounding_box(), slider.bounding_box(), visit.volts()
        assert drawing is not None
        assert box is not None
        y = box["y"] + box["height"] / 2
        assert drawing["y"] >= 0
        assert drawing["y"] + drawing["height"] < y < 844
        visit.drag((box["x"] + box["width"] / 2, y), (box["x"] + box["width"] / 2 + 20, y))
        visit.until("location.hash.length > 1")
        visit.settled()
        assert visit.volts() != before
        page.click("nav a:nth-child(5)")
        title = "document.querySelector('#take-title').getBoundingClientRect()"
        visit.until(f"(y => y > stage.getBoundingClientRect().bottom && y < 0.7 * innerHeight)({title}.y)")
        visit.choose("carrier.arrangement", "two-sided")
        assert "a coil on each side" in page.inner_text("#drawing-note")
        if either.browser_type.name == "chromium":  # Firefox counts the empty part of a line in a text's height
            labels_do_not_touch(page)
        what_has_the_focus_is_not_hidden(visit.afresh())
        assert narrow_enough(page)


def labels_do_not_touch(page: Page) -> None:
    boxes = [text.bounding_box() for text in page.locator("#waveform text").all()]
    assert len(boxes) >= 7
    for one, other in combinations(boxes, 2):
        assert one
        assert other
        apart = (
            one["x"] + one["width"] <= other["x"] or other["x"] + other["width"] <= one["x"]
            or one["y"] + one["height"] * 0.8 <= other["y"] or other["y"] + other["height"] * 0.8 <= one["y"]
        )  # fmt: skip
        assert apart, (one, other)


def what_has_the_focus_is_not_hidden(visit: Visit) -> None:
    page = visit.page
    visit.choose("winding.phases", "3")
    visit.choose("carrier.arrangement", "facing")
    visit.choose("carrier.plate_mm", "3")
    page.focus("#c-carrier-plate_mm")
    hidden: list[str] = []
    for back in (False, True):
        for _ in range(30):
            page.keyboard.press("Shift+Tab" if back else "Tab")
            found = page.evaluate("""() => {
                const it = document.activeElement, box = it.getBoundingClientRect();
                const top = document.querySelector("#stage").getBoundingClientRect().bottom;
                return it.closest("#work") && box.bottom <= top ? it.id : "";
            }""")
            hidden += [found] if found else []
    assert hidden == []


def test_prints(visit: Visit, browser: Browser):
    visit.page.emulate_media(media="print", color_scheme="light")
    assert visit.page.locator("#sheet svg").is_visible()
    assert visit.page.locator("#figures").is_visible()
    assert not visit.page.locator("#controls").is_visible()
    visit.page.set_viewport_size({"width": 680, "height": 1000})  # a sheet of A4 within its margins
    assert visit.page.locator("#drawing-plain").is_visible()  # which tells north from south
    assert visit.page.inner_text("#stage-title") == "The machine: Hand-spun lantern for a science club"
    assert visit.page.locator("#stage-title").bounding_box()["height"] > 10
    assert visit.page.locator("summary:visible").count() == 0
    pdf = visit.page.pdf(format="A4")
    assert 1 <= pdf.count(b"/Type /Page\n") <= 4
    many = lantern_layout(
        "wedge", count=30, outer_diameter=0.3, pitch_radius=0.13, inner_radius=0.1, outer_radius=0.15, width=0.003
    )
    page = browser.new_page()
    page.set_content(card_page(many))
    assert page.pdf(format="Letter").count(b"/Type /Page\n") == 2  # the list of coils goes on from the first
    page.close()
