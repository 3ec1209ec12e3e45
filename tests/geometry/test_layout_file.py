"""The layout file: exact inverse, faults, and what a person reads in it."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tiers import examples

from geometry.coils.topology import TOPOLOGIES
from geometry.files.reading import FileFaults
from geometry.machine.layout import Carrier, Layout, Space, Winding
from geometry.machine.layout_file import layout_from_text, layout_text, read_layout
from geometry.stock.magnet import GRADES, DiscMagnet, Magnet, RingMagnet
from geometry.stock.magnet_shapes import BlockMagnet
from geometry.stock.wire import Wire

LAYOUT = Layout(
    title='Lantern "no. 2" – 12 poles',
    space=Space(outer_diameter=0.11, bore_diameter=0.03, wall=0.002),
    carrier=Carrier(
        magnet=DiscMagnet.of_grade(diameter=0.015, thickness=0.004, grade="N42"),
        count=12,
        pitch_radius=0.0425,
    ),
    winding=Winding(
        topology="serpentine",
        inner_radius=0.0301,
        outer_radius=0.055,
        width=0.0047123456789,
        height=0.005,
        turns=57,
        wire=Wire(diameter=0.315e-3),
        peg_radius=0.0015,
        fill_factor=0.6,
    ),
    air_gap=0.0015,
    speed_rpm=400,
)
TEXT = layout_text(LAYOUT)


def length(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(min_value=low, max_value=high, exclude_min=True, exclude_max=True)


@st.composite
def magnets(draw: st.DrawFn) -> Magnet:
    thickness, across = draw(length(1e-4, 2)), draw(length(1.5e-4, 2))
    kind = draw(st.sampled_from([DiscMagnet, RingMagnet, BlockMagnet]))
    size = (
        {"diameter": across}
        if kind is not BlockMagnet
        else {"length": across, "width": draw(length(1e-4, 2))}
    )
    size |= {"bore": draw(length(1e-4, across))} if kind is RingMagnet else {}
    warm = {"temperature": draw(st.just(20.0) | st.floats(-60, 300))}
    if draw(st.booleans()):
        graded = kind.of_grade(**size, thickness=thickness, grade=draw(st.sampled_from(sorted(GRADES))))
        recoil = draw(st.none() | st.floats(1, 10))
        return replace(graded, **warm, **({} if recoil is None else {"recoil_permeability": recoil}))
    remanence, recoil = draw(st.floats(0.05, 1.6)), draw(st.floats(1, 10))
    return kind(**size, thickness=thickness, remanence=remanence, recoil_permeability=recoil, **warm)


@st.composite
def windings(draw: st.DrawFn) -> Winding:
    inner = draw(length(1e-4, 1))
    return Winding(
        topology=draw(st.sampled_from(sorted(TOPOLOGIES))),
        inner_radius=inner,
        outer_radius=draw(length(inner, 2)),
        width=draw(length(1e-4, 2)),
        height=draw(length(1e-4, 0.5)),
        turns=draw(st.integers(1, 100_000)),
        wire=Wire(diameter=draw(st.floats(0.05, 3)) * 1e-3, grade=draw(st.integers(1, 2))),
        peg_radius=draw(length(5e-5, 0.1)),
        fill_factor=draw(length(0, 0.9)),
    )


@st.composite
def layouts(draw: st.DrawFn) -> Layout:
    bore = draw(length(1e-4, 1))
    letters = st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp"), exclude_characters="\ufffe\uffff")
    return Layout(
        title=draw(st.text(alphabet=letters, max_size=200)),
        space=Space(
            outer_diameter=draw(length(bore, 2)), bore_diameter=bore, wall=draw(st.just(0.0) | length(0, 0.2))
        ),
        carrier=Carrier(
            magnet=draw(magnets()), count=2 * draw(st.integers(1, 500)), pitch_radius=draw(length(1e-4, 2))
        ),
        winding=draw(windings()),
        air_gap=draw(length(1e-4, 0.05)),
        speed_rpm=draw(st.integers(1, 20000) | st.floats(1, 20000)),
    )


@settings(max_examples=examples(200), deadline=None)
@given(layouts())
def test_reading_what_was_written_gives_the_equal_layout(layout: Layout) -> None:
    written = layout_text(layout)
    assert layout_from_text(written, "layout.toml") == layout
    assert layout_text(layout_from_text(written, "layout.toml")) == written


def test_reading_from_a_file(tmp_path: Path) -> None:
    path = tmp_path / "layout.toml"
    path.write_text(TEXT, encoding="utf-8")
    assert read_layout(path) == LAYOUT


def test_the_file_holds_plain_millimetres() -> None:
    data = tomllib.loads(TEXT)
    assert data["space"] == {"outer_diameter_mm": 110, "bore_diameter_mm": 30, "wall_mm": 2}
    assert data["carrier"] == {
        "count": 12,
        "pitch_radius_mm": 42.5,
        "magnet": {"shape": "disc", "diameter_mm": 15, "thickness_mm": 4, "grade": "N42"},
    }
    assert data["winding"] == {
        "topology": "serpentine", "inner_radius_mm": 30.1, "outer_radius_mm": 55, "width_mm": 4.7123456789,
        "height_mm": 5, "turns": 57, "peg_diameter_mm": 3, "fill_factor": 0.6,
        "wire": {"diameter_mm": 0.315, "enamel_grade": 1},
    }  # fmt: skip
    assert data["operation"] == {"air_gap_mm": 1.5, "speed_rpm": 400}


def test_every_key_of_a_measure_has_a_comment() -> None:
    bare = [line for line in TEXT.splitlines() if "_mm =" in line and "#" not in line]
    assert bare == ["diameter_mm = 15"]


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("count = 12", "count = 7", "carrier.count: must be an even number of at least 2, was 7"),
        (
            "outer_radius_mm = 55",
            "outer_radius_mm = 30",
            "winding.outer_radius_mm: must be more than inner_radius_mm (30.1), was 30",
        ),
        ("turns = 57", "turns = 0", "winding.turns: must be a whole number of at least 1, was 0"),
        ("turns = 57", "turns = 5.5", "winding.turns: must be a whole number of at least 1, was 5.5"),
        (
            '"serpentine"',
            '"spiral"',
            'winding.topology: must be one of serpentine, wedge, round, racetrack, was "spiral"',
        ),
        ("bore_diameter_mm = 30", "bore_diameter_mm = 110",
         "space.bore_diameter_mm: must be less than outer_diameter_mm (110), was 110"),
        ("0.315", "0.03", "winding.wire.diameter_mm: must be at least 0.05 (are the units millimetres?), was 0.03"),
        ("enamel_grade = 1", "enamel_grade = 3", "winding.wire.enamel_grade: must be at most 2, was 3"),
        ("fill_factor = 0.6", "fill_factor = 60",
         "winding.fill_factor: must be at most 0.9 (a share, not a percentage), was 60"),
        ('shape = "disc"', 'shape = "cube"', 'carrier.magnet.shape: must be one of disc, ring, block, arc, was "cube"'),
        ("wall_mm = 2", "wall_mm = -1", "space.wall_mm: must be at least 0, was -1"),
        ("air_gap_mm = 1.5", "air_gap_mm = nan", "operation.air_gap_mm: must be a finite number, was nan"),
        ("peg_diameter_mm", "peg_diamter_mm", "winding.peg_diamter_mm: unknown key; did you mean peg_diameter_mm?"),
    ],
)  # fmt: skip
def test_one_fault(old: str, new: str, message: str) -> None:
    assert TEXT.count(old) == 1
    line = TEXT[: TEXT.index(old)].count("\n") + 1
    with pytest.raises(FileFaults) as caught:
        layout_from_text(TEXT.replace(old, new), "layout.toml")
    assert str(caught.value) == f"layout.toml:{line}: {message}"


def test_missing_tables_are_named() -> None:
    with pytest.raises(FileFaults) as caught:
        layout_from_text("[space]\n[carrier]\n", "layout.toml")
    assert {(fault.line, fault.key) for fault in caught.value.faults} == {
        (1, "winding"), (1, "operation"), (1, "space.outer_diameter_mm"), (1, "space.bore_diameter_mm"),
        (1, "space.wall_mm"), (2, "carrier.count"), (2, "carrier.pitch_radius_mm"), (2, "carrier.magnet"),
    }  # fmt: skip
    assert "table [carrier.magnet] with diameter_mm and thickness_mm" in str(caught.value)


def test_a_grade_may_have_a_recoil_permeability_of_its_own() -> None:
    written = TEXT.replace('grade = "N42"', 'grade = "N42"\nrecoil_permeability = 1.08')
    assert layout_from_text(written, "f").carrier.magnet.recoil_permeability == 1.08
    given_number = TEXT.replace('grade = "N42"', "remanence_T = 1.3")
    magnet = layout_from_text(given_number, "f").carrier.magnet
    assert (magnet.remanence, magnet.grade, magnet.recoil_permeability) == (1.3, None, 1.05)
    assert layout_from_text(TEXT.replace("N42", "Y30"), "f").carrier.magnet.recoil_permeability == 1.1


@pytest.mark.parametrize(
    ("layout", "message"),
    [
        (replace(LAYOUT, air_gap=0.2), "operation.air_gap_mm: must be at most 50"),
        (replace(LAYOUT, title="a\nb"), "title: must be one line of text"),
        (
            replace(
                LAYOUT,
                carrier=replace(LAYOUT.carrier, magnet=replace(LAYOUT.carrier.magnet, remanence=1.3)),
            ),
            r"remanence must be that of grade N42 \(1.28 T\), was 1.3 T",
        ),
    ],
)
def test_what_could_not_be_read_back_is_not_written(layout: Layout, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        layout_text(layout)
