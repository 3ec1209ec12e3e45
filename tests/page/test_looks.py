"""Sizes, schemes, print and accessibility."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from conftest import Visit
from playwright.sync_api import Browser

AXE = Path(__file__).parent / "vendor" / "axe.min.js"
SIZES = {"wide": (1600, 950), "laptop": (1280, 800), "tablet": (820, 1100), "phone": (390, 844), "narrow": (320, 640)}


@pytest.fixture(params=[(size, scheme) for size in SIZES for scheme in ("light", "dark")], ids="-".join)
def seen(request: pytest.FixtureRequest, browser: Browser, address: str) -> Iterator[Visit]:
    size, scheme = request.param
    width, height = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height}, color_scheme=scheme, bypass_csp=True, has_touch=width < 500
    )
    made = Visit(context.new_page(), address).open()
    yield made
    assert made.complaints == []
    context.close()


def serious(page: Any) -> list[str]:
    """What axe-core finds that is serious or worse."""
    page.add_script_tag(path=AXE)
    found = page.evaluate(
        """() => axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]})"""
    )
    return [
        f"{rule['id']}: {node['html'][:150]} {node['failureSummary'][:200]}"
        for rule in found["violations"]
        if rule["impact"] in ("serious", "critical")
        for node in rule["nodes"]
    ]


def test_accessible_and_within_its_width(seen: Visit):
    assert serious(seen.page) == []
    assert seen.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    seen.page.fill("#c-carrier-pitch_radius_mm", "51")
    seen.page.fill("#c-winding-outer_radius_mm", "57")
    seen.page.wait_for_selector("#misfits li >> nth=1")
    assert serious(seen.page) == []
    assert seen.page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_dark_is_dark(seen: Visit):
    dark = seen.page.evaluate("matchMedia('(prefers-color-scheme: dark)').matches")
    color = seen.page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    channels = [int(part) for part in color.removeprefix("rgb(").removesuffix(")").split(",")]
    assert (max(channels) < 60) if dark else (min(channels) > 220)


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


def test_print_shows_machine_and_figures(visit: Visit):
    visit.page.emulate_media(media="print", color_scheme="light")
    assert visit.page.locator("#sheet svg").is_visible()
    assert visit.page.locator("#figures").is_visible()
    assert not visit.page.locator("#controls").is_visible()
    pdf = visit.page.pdf(format="A4")
    assert 1 <= pdf.count(b"/Type /Page\n") <= 4
