"""Writing a brief: the inverse of reading it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tiers import examples

from geometry.coils.topology import TOPOLOGIES
from geometry.machine.layout import Space
from geometry.stock.magnet import GRADES, DiscMagnet
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief, StockMagnet, brief_from_text, brief_text, read_brief
from optimizer.brief.goal import GOALS, Prices

LANTERN = Path(__file__).parents[2] / "studies" / "lantern" / "brief.toml"


LENGTH = st.floats(min_value=1e-4, max_value=0.05, exclude_min=True, exclude_max=True)


PRICE = st.none() | st.floats(0, 1e6)


@st.composite
def prices(draw: st.DrawFn) -> Prices:
    by_length, by_mass = draw(st.tuples(PRICE, st.none()) | st.tuples(st.none(), PRICE))
    return Prices(
        currency=draw(st.text("E€$ ", min_size=1, max_size=3)), magnet=draw(PRICE), wire_per_m=by_length,
        wire_per_kg=by_mass, plastic_per_kg=draw(PRICE),
    )  # fmt: skip


@st.composite
def briefs(draw: st.DrawFn) -> Brief:
    def some(names: list[str]) -> tuple[str, ...]:
        return tuple(draw(st.lists(st.sampled_from(names), min_size=1, unique=True)))

    graded = st.builds(
        DiscMagnet.of_grade, diameter=LENGTH, thickness=LENGTH, grade=st.sampled_from(sorted(GRADES))
    )
    plain = st.builds(DiscMagnet, diameter=LENGTH, thickness=LENGTH, remanence=st.floats(0.05, 1.6))
    stock = st.builds(StockMagnet, magnet=graded | plain, quantity=st.none() | st.integers(2, 1000))
    bare = draw(st.lists(st.floats(0.05, 3), min_size=1, unique=True))
    grade, bore = draw(st.integers(1, 2)), draw(LENGTH)
    length = draw(st.none() | st.floats(0.1, 1e6))
    return Brief(
        title=draw(st.text("aé\"'\\#⌀ ", max_size=20)),
        space=Space(outer_diameter=bore + draw(LENGTH), bore_diameter=bore, wall=draw(LENGTH)),
        air_gap=draw(LENGTH),
        coil_height=draw(LENGTH),
        speed_rpm=draw(st.floats(1, 20000)),
        magnets=tuple(draw(st.lists(stock, min_size=1, max_size=3, unique_by=lambda entry: entry.magnet))),
        wires=tuple(Wire(diameter=size * 1e-3, grade=grade) for size in bare),
        length=length,
        resistance=draw(st.floats(0.001, 1e6) if length is None else st.none() | st.floats(0.001, 1e6)),
        fill_factor=draw(st.floats(0, 0.9, exclude_min=True)),
        peg_radius=draw(LENGTH),
        topologies=some(list(TOPOLOGIES)),
        goal=draw(st.sampled_from(sorted(GOALS))),
        bed=draw(st.none() | st.tuples(LENGTH, LENGTH)),
        prices=draw(st.none() | prices()),
    )


@settings(max_examples=examples(150), deadline=None)
@given(briefs())
def test_reading_what_was_written_gives_the_equal_brief(brief: Brief) -> None:
    assert brief_from_text(brief_text(brief), "brief.toml") == brief


def test_what_could_not_be_read_back_is_not_written() -> None:
    brief = read_brief(LANTERN)
    with pytest.raises(ValueError, match="one grade of enamel"):
        brief_text(replace(brief, wires=(Wire(diameter=2e-4), Wire(diameter=2.5e-4, grade=2))))
    with pytest.raises(ValueError, match=r"speed.rpm: must be at most 20000, was 50000"):
        brief_text(replace(brief, speed_rpm=50000))
