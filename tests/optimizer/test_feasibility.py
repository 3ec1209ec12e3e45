"""Nothing fits: the reasons, and each smallest change really lets a layout fit while a little less does not."""

from __future__ import annotations

from pathlib import Path

import pytest
from drawn import varied

from optimizer.brief.brief import Brief, brief_from_text, brief_text, read_brief
from optimizer.scan.scan import scan
from optimizer.search.feasibility import Change, NothingFits, explain
from optimizer.search.search import optimize

LANTERN = Path(__file__).parents[2] / "studies" / "lantern" / "brief.toml"


def impossible() -> dict[str, Brief]:
    brief = read_brief(LANTERN)
    return {
        "disc too small": varied(brief, outer_diameter=0.05),
        "bore too large": varied(brief, bore_diameter=0.09),
        "walls too thick": varied(brief, wall=0.03),
        "pegs too thick": varied(brief, peg_radius=0.03),
        "coil too low": varied(brief, coil_height=1e-4),
        "resistance too low": varied(brief, resistance=1e-3),
        "wire too short": varied(brief, length=0.1, peg_radius=0.012),
    }


def changed(brief: Brief, change: Change, value: float) -> Brief:
    """The brief with the key of a change set to a value, by way of its file, as a person would do it."""
    text = brief_text(brief)
    name = change.key.split(".")[-1]
    lines = [
        f"{name} = {value:.9g}" if line.split("=")[0].strip() == name else line for line in text.splitlines()
    ]
    assert lines != text.splitlines()
    return brief_from_text("\n".join(lines), "brief.toml")


@pytest.mark.search
@pytest.mark.parametrize("case", sorted(impossible()))
def test_every_change_lets_a_layout_fit_and_a_little_less_does_not(case: str) -> None:
    brief = impossible()[case]
    assert not scan(brief).starts
    (reason,) = explain(brief)
    assert reason.changes
    for change in reason.changes:
        assert scan(changed(brief, change, change.needed)).starts, change
        # "nearest" is to 0.01 mm or three digits: a twentieth of the way back fails, unless the change is that small
        short = change.needed + (change.was - change.needed) / 20
        if abs(change.needed - change.was) > 2:
            assert not scan(changed(brief, change, short)).starts, change
    assert [c.share for c in reason.changes] == sorted(c.share for c in reason.changes)


def test_the_words_name_the_key_what_it_must_be_and_what_it_was() -> None:
    with pytest.raises(NothingFits) as raised:
        optimize(impossible()["disc too small"])
    text = str(raised.value)
    assert "no two magnets fit on the carrier" in text
    # two 15 mm pockets between walls of 2 mm beside a 30 mm bore: 30 + 2·(15 + 2·2)
    assert "space.outer_diameter_mm: must be at least 68 mm, was 50 mm" in text
    assert "space.bore_diameter_mm: must be at most 12 mm, was 30 mm" in text


def test_two_things_wrong_are_two_reasons() -> None:
    reasons = explain(varied(read_brief(LANTERN), bore_diameter=0.09, resistance=1e-3))
    assert [reason.text for reason in reasons] == [
        "no two magnets fit on the carrier",
        "the wire does not suffice for one turn",
    ]


THREE_MAGNETS = """
title = "Three magnets for two carriers"
[space]
outer_diameter_mm = 60
bore_diameter_mm = 12
[speed]
rpm = 400
[[magnets]]
diameter_mm = 10
thickness_mm = 4
grade = "N42"
quantity = 3
[wire]
diameters_mm = [0.25]
length_m = 20
resistance_ohm = 10
[coil]
topologies = ["wedge"]
[rotor]
arrangement = "facing"
"""


@pytest.mark.search
def test_three_magnets_for_two_carriers_want_a_fourth() -> None:
    brief = brief_from_text(THREE_MAGNETS, "brief.toml")
    with pytest.raises(NothingFits) as raised:
        optimize(brief)
    text = str(raised.value)
    assert "the magnets at hand do not give two to each carrier" in text
    assert "magnets[1].quantity: must be at least 4, was 3" in text
    (reason,) = explain(brief)
    (change,) = reason.changes
    result = optimize(changed(brief, change, change.needed))
    assert result.best.layout.carrier.count * 2 <= change.needed


def test_there_is_always_a_reason() -> None:
    (reason,) = explain(read_brief(LANTERN))
    assert "by a hair" in reason.text
