"""Sizes, schemes, print and accessibility."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from layouts import lantern_layout
from playwright.sync_api import Browser, Page
from visiting import Visit

from optimizer.building.winding_card import winding_card
from optimizer.packs.card_page import card_html

AXE = Path(__file__).parent / "vendor" / "axe.min.js"
SIZES = {
    "wide": (1600, 950),
    "laptop": (1280, 800),
    "tablet": (820, 1100),
    "phone": (390, 844),
    "narrow": (320, 640),
}


SEEN = [
    ("wide", "light"), ("laptop", "light"), ("laptop", "dark"), ("tablet", "light"), ("phone", "light"),
    ("phone", "dark"), ("narrow", "dark"),
]  # fmt: skip


@pytest.fixture(params=SEEN, ids="-".join)
def seen(request: pytest.FixtureRequest, browser: Browser, address: str) -> Iterator[Visit]:
    size, scheme = request.param
    width, height = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme=scheme,
        bypass_csp=True,
        has_touch=width < 500,
    )
    made = Visit(context.new_page(), address).open()
    yield made
    assert made.complaints == []
    context.close()


def serious(page: Page) -> list[str]:
    """What axe-core finds that is serious or worse."""
    page.add_script_tag(path=AXE)
    found = page.evaluate(
        "() => axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']})"
    )
    return [
        f"{rule['id']}: {node['html'][:150]} {node['failureSummary'][:200]}"
        for rule in found["violations"]
        if rule["impact"] in ("serious", "critical")
        for node in rule["nodes"]
    ]


def narrow_enough(page: Page) -> bool:
    return page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def background(page: Page) -> list[int]:
    color = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    return [int(part) for part in color.removeprefix("rgb(").removesuffix(")").split(",")]


def test_accessible_within_its_width_and_in_its_scheme(seen: Visit):
    assert narrow_enough(seen.page)
    seen.page.fill("#c-carrier-pitch_radius_mm", "51")
    seen.page.fill("#c-winding-outer_radius_mm", "57")
    seen.page.wait_for_selector("#misfits li >> nth=1")
    assert serious(seen.page) == []
    assert narrow_enough(seen.page)
    dark = seen.page.evaluate("matchMedia('(prefers-color-scheme: dark)').matches")
    assert (max(background(seen.page)) < 60) if dark else (min(background(seen.page)) > 220)


def test_the_accessibility_check_can_fail(browser: Browser, address: str):
    context = browser.new_context(bypass_csp=True)
    page = Visit(context.new_page(), address).open().page
    page.evaluate("document.querySelector('label[for=c-winding-turns]').remove()")
    page.evaluate("document.getElementById('c-winding-turns').removeAttribute('id')")
    assert any(words.startswith("label") for words in serious(page))
    context.close()


def test_a_phone_shows_drawing_and_slider_together(browser: Browser, address: str):
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page = Visit(context.new_page(), address).open().page
    page.locator("#c-operation-air_gap_mm-slide").scroll_into_view_if_needed()
    page.locator("#c-operation-air_gap_mm-slide").focus()
    drawing = page.locator("#sheet svg").bounding_box()
    slider = page.locator("#c-operation-air_gap_mm-slide").bounding_box()
    assert drawing is not None
    assert slider is not None
    assert drawing["y"] >= 0
    assert drawing["y"] + drawing["height"] < slider["y"] < 844
    context.close()


def test_what_has_the_focus_is_not_hidden_on_a_phone(browser: Browser, address: str):
    context = browser.new_context(viewport={"width": 390, "height": 844}, reduced_motion="reduce")
    visit = Visit(context.new_page(), address).open()
    page = visit.page
    page.check("#controls input[name=c-winding-phases][value='3']")
    page.select_option("#c-carrier-arrangement", "facing")
    page.fill("#c-carrier-plate_mm", "3")
    page.keyboard.press("Tab")
    visit.settled()
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
    context.close()


def test_print_shows_machine_and_figures(visit: Visit):
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


def test_a_card_of_many_coils_prints_on_two_pages(browser: Browser):
    many = lantern_layout(
        "wedge", count=30, outer_diameter=0.3, pitch_radius=0.13, inner_radius=0.1, outer_radius=0.15, width=0.003
    )
    page = browser.new_page()
    page.set_content(card_html(many, winding_card(many)))
    assert page.pdf(format="Letter").count(b"/Type /Page\n") == 2  # the list of coils goes on from the first
    page.close()
