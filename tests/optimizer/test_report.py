"""The report: one well-formed page that needs nothing else, with the result's numbers; words and cautions."""

import re
from base64 import b64decode
from dataclasses import replace
from html import unescape
from html.parser import HTMLParser

import pytest
from shown import plots_of, report_of

from optimizer.words.result_tables import limit_words
from optimizer.words.wording import many, number, quantity, signed_percent

VOID = {"meta", "img", "br"}


class Page(HTMLParser):
    """Checks that tags close in order; keeps start tags with their attributes, and the text."""

    def __init__(self, html):
        super().__init__()
        self.open, self.tags, self.words = [], [], []
        self.feed(html)
        self.close()
        assert not self.open

    def handle_starttag(self, tag, attrs):
        assert len(dict(attrs)) == len(attrs), (tag, attrs)
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if "style" not in self.open:
            self.words.append(data)

    def all(self, tag):
        return [attrs for name, attrs in self.tags if name == tag]


@pytest.fixture(scope="module")
def html(small_result):
    return report_of(small_result, plots_of(small_result))


@pytest.fixture(scope="module")
def page(html):
    return Page(html)


@pytest.fixture(scope="module")
def text(page):
    return " ".join(" ".join(page.words).replace("\u00a0", " ").split())


def bare(html):
    """The page without its pictures."""
    return re.sub(r"data:image/svg\+xml;base64,[A-Za-z0-9+/=]+", "", html)


def test_the_page_starts_as_html_and_has_one_heading(html, page):
    assert html.lstrip().startswith("<!DOCTYPE html>")
    assert len(page.all("h1")) == 1
    assert page.all("html") == [{"lang": "en"}]


def test_nothing_is_fetched_and_nothing_runs(html, page):
    assert not re.search(r"https?:|//[a-z]|@import|url\(", bare(html))
    assert not page.all("script") + page.all("link") + page.all("iframe")
    assert all(image["src"].startswith("data:image/svg+xml;base64,") for image in page.all("img"))
    ids = {attrs["id"] for _, attrs in page.tags if "id" in attrs}
    assert {link["href"].removeprefix("#") for link in page.all("a")} <= ids


def test_the_pictures_refer_to_nothing_outside(page):
    for image in page.all("img"):
        svg = b64decode(image["src"].partition(",")[2]).decode()
        references = re.findall(r'href="([^"]{1,5})', svg) + re.findall(r"url\(([^)]{1,5})", svg)
        assert all(reference.startswith(("#", "data:")) for reference in references)
        assert "<script" not in svg


def test_every_picture_is_told_in_words(page, small_result):
    figures = plots_of(small_result)
    alts = [image["alt"] for image in page.all("img")]
    assert len(alts) == len(figures) == 8
    assert all(len(alt) > 20 for alt in alts)
    assert any("8\u00a0magnets give" in alt for alt in alts)


def test_tables_have_captions_and_scoped_headers(page):
    assert len(page.all("table")) == len(page.all("caption")) == 10
    assert all("scope" in header for header in page.all("th"))


def test_user_text_is_escaped(html, text):
    assert "<script" not in html
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in html
    assert text.count("Lamp <script>alert(1)</script> & $co") == 2


def test_the_headline_figures_are_the_results(text, small_result):
    figures = small_result.best.figures
    for words in (
        f"Voltage {figures.emf_rms_V:.2f} V rms, open circuit, at 500 rpm",
        f"Peak {figures.emf_peak_V:.2f} V",
        f"Resistance {number(figures.resistance_ohm)} Ω",
        f"Wire {figures.wire_length_m:.1f} m of {figures.layout.winding.wire.diameter_mm:g} mm",
        f"Matched-load power {number(figures.matched_power_W)} W",
        (
            "Set 8 disc magnets, ⌀ 15 × 5 mm (N42), north and south in turn, on a circle of"
            f" {2 * figures.layout.carrier.pitch_radius * 1e3:g} mm"
        ),
        f"{figures.layout.winding.turns} turns each, in series",
    ):
        assert words in text


def test_build_table_gives_what_to_set(text, small_result):
    figures = small_result.best.figures
    winding = figures.layout.winding
    assert f"{winding.inner_radius * 1e3:g} mm to {winding.outer_radius * 1e3:g} mm" in text
    assert f"{winding.width * 1e3:g} mm wide, {winding.height * 1e3:g} mm high" in text
    band = (
        f"{number(figures.resistance_min_ohm)} to {number(figures.resistance_max_ohm)} Ω by the wire standard"
    )
    assert band in text


def test_every_count_shape_limit_and_move_is_told(html, text, small_result):
    for entry in small_result.by_magnet_count:
        assert quantity(entry.figures.emf_rms_V, "V rms").replace("\u00a0", " ") in text
    for limit in small_result.limits:
        words = limit_words(limit).replace("\u00a0", " ")
        assert words in text or words[0].lower() + words[1:] in text
        if limit.binds:
            assert f"{words} {signed_percent(limit.gain)}".replace("\u00a0", " ") in text
    moves = small_result.moves
    assert html.count("<small>fits</small>") == sum(move.fits for move in moves)
    assert html.count("<small>misfit</small>") == sum(not move.fits for move in moves)
    assert many(small_result.layouts_considered).replace("\u00a0", " ") + " layouts were considered" in text


def test_method_prints_remanence_and_polarization(text, small_result):
    magnet = small_result.best.layout.carrier.magnet
    assert f"effective polarization of {magnet.polarization:.2f} T" in text
    assert "remanence of 1.28 T (the least that makers guarantee for N42)" in text
    assert f"demagnetizing factor of {magnet.demagnetizing_factor:.3f}" in text


@pytest.mark.slow
def test_textbook_stands_beside_the_winner(text, small_result):
    book = small_result.textbook
    loss = 100 * (1 - book.entry.figures.emf_rms_V / book.sizing_equation_V)
    assert f"That layout gives {loss:.0f} % less EMF than the sizing equation promises" in text
    without = replace(small_result, textbook=None)
    assert "textbook" not in " ".join(Page(report_of(without, plots_of(without))).words)


def test_no_time_no_date_no_machine(text):
    assert not re.search(r"\b20[0-9]{2}-[0-9]{2}|elapsed|seconds|[0-9]:[0-9]{2}", text)


def test_a_shape_that_fits_nowhere_is_named(small_result):
    short = replace(small_result, by_topology=small_result.by_topology[:1])
    words = " ".join(Page(report_of(short, {})).words)
    assert "No layout fits the brief with: round." in words


def test_special_letters_survive(small_result):
    odd = replace(small_result, brief=replace(small_result.brief, title="\"Ω\" & 'x' > y"))
    html = report_of(odd, {})
    assert "\"Ω\" & 'x' > y" in unescape(html)
    Page(html)
