"""A search for a load: the page and every report say that the load was the goal, and what is compared instead."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import httpx
import pytest
from tiers import shared

from optimizer.brief.brief import Brief, brief_from_text, brief_text
from optimizer.building.pack_parts import PackOptions
from optimizer.circuit.loads import BridgeBattery, BridgeResistor
from optimizer.documents.result_document import result_document
from optimizer.loads.load_target import LoadTarget
from optimizer.packs.build_pack import build_pack
from optimizer.packs.result_files import ShownResult, result_files
from optimizer.page.app import start_of
from optimizer.search.load_search import LoadResult, optimize_for_load, target_value
from optimizer.search.result import Entry
from optimizer.starters.file_kinds import example_text
from optimizer.words.load_words import answer_words

pytestmark = pytest.mark.search
SMALL = (
    example_text("brief")
    .replace("outer_diameter_mm = 110", "outer_diameter_mm = 70")
    .replace("quantity = 16", "quantity = 4")
)
TARGETS = {
    "power": LoadTarget(kind="load_power", load=BridgeResistor(ohms=20, drop=0.35)),
    "speed": LoadTarget(kind="lowest_speed", load=BridgeBattery(volts=0.6, ohms=0.1, drop=0.1), watts=0.01),
}


@pytest.fixture(params=list(TARGETS))
def answered(request: pytest.FixtureRequest) -> tuple[LoadResult, list[Entry]]:
    """The answer, and every better layout that was told of on the way."""
    return searched(request.param)


def asked(target: LoadTarget) -> Brief:
    """The page's brief of a small disc, with three of its wires and two of its coil shapes, for a load."""
    brief = brief_from_text(SMALL, "small")
    return replace(brief, wires=brief.wires[::2], topologies=("wedge", "round"), target=target)


@shared
def searched(name: str) -> tuple[LoadResult, list[Entry]]:
    """The search for a target, made once."""
    target = TARGETS[name]
    heard: list[Entry] = []
    return optimize_for_load(asked(target), target, better=heard.append), heard


def text_of(html: bytes) -> str:
    words = re.sub(r"<style.*?</style>|<[^>]+>", " ", html.decode(), flags=re.DOTALL)
    return re.sub(r"\s+", " ", words.replace("\xa0", " ").replace("&nbsp;", " "))


def test_reports_say_the_load_s_answer_before_the_layout(answered: tuple[LoadResult, list[Entry]]):
    answer, _ = answered
    pack = build_pack(answer.result.best.layout, PackOptions(), shown=ShownResult.of(answer.result))
    for html in (result_files(ShownResult.of(answer.result))["report.html"], pack.files["report.html"]):
        words = text_of(html)
        first = words.index("The goal was the")
        assert first < words.index("Set 4 disc magnets")
        told = answer_words(answer.verdict, 400.0)
        assert f"It {told}.".replace("\u00a0", " ") in words
        assert f"{answer.point.load_watts * 1e3:.3g}" in told or f"{answer.value:.3g} rpm" in told
        assert words.count("not by what the load gets of each") == 1  # said once


def test_the_brief_that_is_handed_on_is_the_one_asked(answered: tuple[LoadResult, list[Entry]]):
    answer, _ = answered
    assert brief_text(answer.result.brief) == brief_text(asked(answer.target))
    assert answer.verdict.limit is not None
    result = answer.result
    beside = [entry for entry in (*result.by_magnet_count, *result.by_topology) if entry != result.best]
    assert all(entry.figures.resistance_ohm <= answer.verdict.limit * (1 + 1e-9) for entry in beside)
    assert result_document(answer.result)["load"]["target"] == answer.target.kind


def test_layouts_told_on_the_way_get_ever_better(answered: tuple[LoadResult, list[Entry]]):
    answer, heard = answered
    sign = -1 if answer.target.kind == "load_power" else 1
    losses = [sign * target_value(entry.layout, answer.target) for entry in heard]
    assert losses
    assert losses == sorted(losses, reverse=True)
    assert len(set(losses)) == len(losses)


@pytest.fixture(scope="module")
def client(address: str) -> Iterator[httpx.Client]:
    with httpx.Client(base_url=address, timeout=60) as made:
        yield made


def test_a_second_search_is_told_of_the_first_which_goes_on(client: httpx.Client):
    content: Any = {"brief": start_of(None)["brief"]}
    with client.stream("POST", "/search", json=content) as first:
        lines = first.iter_lines()
        next(lines)
        second = client.post("/search", json=content)
        assert second.status_code == 409
        assert "under way already" in second.json()["faults"][0]["words"]
        assert next(lines)
