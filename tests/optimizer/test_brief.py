"""The brief: the lantern's values, defaults, exact inverse, and every wrong brief with its message."""

# ruff: noqa: E501 - a fault is one line, however long

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from geometry.files.reading import FileFaults
from geometry.machine.layout import Space
from geometry.stock.magnet import DiscMagnet
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief, StockMagnet, brief_from_text, read_brief
from optimizer.brief.goal import Prices

LANTERN = Path(__file__).parents[2] / "studies" / "lantern" / "brief.toml"
TEXT = LANTERN.read_text(encoding="utf-8")
LEAST = """\
[space]
outer_diameter_mm = 110
bore_diameter_mm = 30
[speed]
rpm = 400
[[magnets]]
diameter_mm = 15
thickness_mm = 4
remanence_T = 1.3
[wire]
diameters_mm = [0.2]
length_m = 60
"""


def told(written: str) -> list[str]:
    with pytest.raises(FileFaults) as caught:
        brief_from_text(written, "brief.toml")
    return str(caught.value).splitlines()


def test_the_lantern() -> None:
    assert read_brief(LANTERN) == Brief(
        title="Hand-spun lantern for a science club",
        space=Space(outer_diameter=0.11, bore_diameter=0.03, wall=0.002),
        air_gap=0.0015,
        coil_height=0.005,
        speed_rpm=400,
        magnets=(
            StockMagnet(
                magnet=DiscMagnet.of_grade(diameter=0.015, thickness=0.004, grade="N42"), quantity=16
            ),
        ),
        wires=tuple(Wire(diameter=d) for d in (0.0002, 0.00025, 0.000315, 0.0004, 0.0005)),
        length=60,
        resistance=25,
        fill_factor=0.6,
        peg_radius=0.0015,
        topologies=("serpentine", "wedge", "round"),
        goal="emf_rms",
    )


def test_defaults() -> None:
    brief = brief_from_text(LEAST, "brief.toml")
    assert (brief.title, brief.space.wall, brief.air_gap, brief.coil_height) == (
        "Untitled",
        0.002,
        0.0015,
        0.005,
    )
    assert (brief.fill_factor, brief.peg_radius, brief.goal) == (0.6, 0.0015, "emf_rms")
    assert brief.topologies == ("serpentine", "wedge", "round")
    assert (brief.length, brief.resistance, brief.wires) == (60, None, (Wire(diameter=0.0002, grade=1),))
    assert brief.magnets == (StockMagnet(magnet=DiscMagnet(diameter=0.015, thickness=0.004, remanence=1.3)),)


WRONG = [
    ("= 110", "= 20000", "space.outer_diameter_mm: must be at most 2000 (are the units millimetres?), was 20000"),
    ("= 110", "= 0.011", "space.outer_diameter_mm: must be at least 0.1 (are the units millimetres?), was 0.011"),
    ("= 110", "= -110", "space.outer_diameter_mm: must be at least 0.1, was -110"),
    ("bore_diameter_mm = 30", "bore_diameter_mm = 120",
     "space.bore_diameter_mm: must be less than outer_diameter_mm (110), was 120"),
    ("bore_diameter_mm = 30", "bore_diameter_mm = 0", "space.bore_diameter_mm: must be at least 0.1, was 0"),
    ("bore_diameter_mm = 30", "bore_diametre_mm = 30",
     "space.bore_diametre_mm: unknown key; did you mean bore_diameter_mm?"),
    ("wall_mm = 2", "wall_mm = nan", "space.wall_mm: must be a finite number, was nan"),
    ("air_gap_mm = 1.5", "air_gap_mm = 0", "space.air_gap_mm: must be at least 0.1, was 0"),
    ("air_gap_mm = 1.5", "air_gap_mm = 150",
     "space.air_gap_mm: must be at most 50 (are the units millimetres?), was 150"),
    ("coil_height_mm = 5", "coil_height_mm = inf", "space.coil_height_mm: must be a finite number, was inf"),
    ("rpm = 400", "rpm = 0", "speed.rpm: must be at least 1, was 0"),
    ("rpm = 400", "rpm = 1e6", "speed.rpm: must be at most 20000, was 1000000"),
    ("rpm = 400", 'rpm = "400"', 'speed.rpm: must be a number, was "400" (leave out the quotes)'),
    ('"disc"', '"cube"', 'magnets[1].shape: must be one of disc, ring, block, arc, was "cube"'),
    ("\ndiameter_mm = 15", "\ndiameter_mm = -15", "magnets[1].diameter_mm: must be at least 0.1, was -15"),
    ("thickness_mm = 4", "thickness_mm = 0", "magnets[1].thickness_mm: must be at least 0.1, was 0"),
    ('"N42"', '"N43"', "magnets[1].grade: must be one of N35, N38, N40, N42, N45, N48, N50, N52, unknown, C5, C8, Y30, Y35, "
     'was "N43"'),
    ('grade = "N42"', "remanence_T = 12800",
     "magnets[1].remanence_T: must be at most 1.6 (is the unit tesla?), was 12800"),
    ('grade = "N42"', 'grade = "N42"; remanence_T = 1.3', None),
    ("quantity = 16", "quantity = 1", "magnets[1].quantity: must be a whole number of at least 2, was 1"),
    ("quantity = 16", "quantity = 16.5", "magnets[1].quantity: must be a whole number of at least 2, was 16.5"),
    ("quantity = 16", "quantity = true", "magnets[1].quantity: must be a whole number of at least 2, was true"),
    ("0.315", "0.04", "wire.diameters_mm[3]: must be at least 0.05 (are the units millimetres?), was 0.04"),
    ("0.315", "3.15", "wire.diameters_mm[3]: must be at most 3 (are the units millimetres?), was 3.15"),
    ("0.315", "0.2", "wire.diameters_mm[3]: must not repeat an earlier entry, was 0.2 again"),
    ("[0.2, 0.25, 0.315, 0.4, 0.5]", "[]", "wire.diameters_mm: must be a list of at least one of wire diameters, was empty"),
    ("[0.2, 0.25, 0.315, 0.4, 0.5]", "0.2", "wire.diameters_mm: must be a list of wire diameters, was 0.2"),
    ("length_m = 60", "length_m = -60", "wire.length_m: must be at least 0.1, was -60"),
    ("resistance_ohm = 25", "resistance_ohm = 0", "wire.resistance_ohm: must be at least 0.001, was 0"),
    ("fill_factor = 0.6", "fill_factor = 60", "wire.fill_factor: must be at most 0.9 (a share, not a percentage), was 60"),
    ("fill_factor = 0.6", "fill_factor = 0", "wire.fill_factor: must be above 0, was 0"),
    ("peg_diameter_mm = 3", "enamel_grade = 3", "wire.enamel_grade: must be at most 2, was 3"),
    ('"wedge"', '"wegde"', 'coil.topologies[2]: must be one of serpentine, wedge, round, racetrack, was "wegde"'),
    ('"wedge"', '"round"', 'coil.topologies[3]: must not repeat an earlier entry, was "round" again'),
    ("maximise =", "maximize =", "goal.maximize: unknown key; did you mean maximise?"),
    ('"emf_rms" ', '"volts" ', 'goal.maximise: must be one of emf_rms, power, load_power, lowest_speed, was "volts"'),
    ("[speed]", "[sped]", "sped: unknown key; did you mean speed?"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "message"), WRONG)
def test_one_fault(old: str, new: str, message: str | None) -> None:
    assert old in TEXT
    line = TEXT[: TEXT.index(old) + len(old)].count("\n") + 1
    faults = told(TEXT.replace(old, new, 1))
    if message is None:
        assert len(faults) == 1
        assert faults[0].startswith(f"brief.toml:{line}: must be valid TOML: nothing may follow the value")
    else:
        assert faults == [f"brief.toml:{line}: {message}"]


@pytest.mark.parametrize(
    ("written", "message"),
    [
        (LEAST.replace("length_m = 60\n", ""), "10: wire: length_m or resistance_ohm must be given, was missing"),
        (LEAST.replace("remanence_T = 1.3\n", ""), "6: magnets[1]: grade, remanence_T or pull_N must be given, was missing"),
        (LEAST.replace("_T = 1.3", '_T = 1.3\ngrade = "N42"'),
         "9: magnets[1].remanence_T: must be left out when grade is given, was 1.3"),
        (LEAST.replace("rpm = 400\n", ""), "4: speed.rpm: must be given, was missing"),
        (LEAST.replace("[speed]\nrpm = 400\n", ""), "1: speed: must be given as a table [speed] with rpm, was missing"),
        (LEAST.replace("[[magnets]]", "[magnets]"), "6: magnets: must be a list of [[magnets]] tables, was a table"),
        (LEAST + "rpm = 5\n", "13: wire.rpm: unknown key here; it belongs in [speed]"),
        (LEAST + "[[magnets]]\nthickness_mm = 4.0\nremanence_T = 1.30\ndiameter_mm = 15\n",
         "6: magnets: must list each magnet once (add up the quantities), was magnets[1] again in magnets[2]"),
    ],
)  # fmt: skip
def test_one_fault_in_the_least_brief(written: str, message: str) -> None:
    assert told(written) == [f"brief.toml:{message}"]


def test_a_value_out_of_place_and_out_of_range_is_told_both_at_once() -> None:
    graded = LEAST.replace("_T = 1.3", '_T = 13\ngrade = "N42"').replace("thickness_mm", "length_mm = 9999\nthickness_mm")
    assert told(graded + "[goal]\nload_W = 0\n[prices]\ncurrency = \"EUR\"\nwire_per_m = -1\nwire_per_kg = -2\n") == [
        'brief.toml:8: magnets[1].length_mm: must be left out for shape = "disc" (its sizes: diameter_mm), was 9999',
        "brief.toml:8: magnets[1].length_mm: must be at most 2000 (are the units millimetres?), was 9999",
        "brief.toml:10: magnets[1].remanence_T: must be left out when grade is given, was 13",
        "brief.toml:10: magnets[1].remanence_T: must be at most 1.6 (is the unit tesla?), was 13",
        'brief.toml:16: goal.load_W: must be left out unless maximise = "lowest_speed", was 0',
        "brief.toml:16: goal.load_W: must be above 0, was 0",
        "brief.toml:19: prices.wire_per_m: must be at least 0, was -1",
        "brief.toml:20: prices.wire_per_kg: must be left out when wire_per_m is given, was -2",
        "brief.toml:20: prices.wire_per_kg: must be at least 0, was -2",
    ]


WORKSHOP = """\
[printer]
bed_mm = [220, 180.5]
[prices]
currency = "EUR"
magnet = 0.45
wire_per_kg = 38
plastic_per_kg = 22.5
"""


def test_printer_and_prices() -> None:
    brief = brief_from_text(LEAST + WORKSHOP, "brief.toml")
    assert brief.bed == (0.22, 0.1805)
    assert brief.prices == Prices(currency="EUR", magnet=0.45, wire_per_kg=38, plastic_per_kg=22.5)
    assert brief_from_text(LEAST, "brief.toml").bed is None
    assert brief_from_text(LEAST, "brief.toml").prices is None


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("[220, 180.5]", "[220]", "14: printer.bed_mm: must be a list of two lengths, width and depth, was a list of 1"),
        ("[220, 180.5]", "220", "14: printer.bed_mm: must be a list of two lengths, was 220"),
        ("[220, 180.5]", "[220, 0]", "14: printer.bed_mm[2]: must be at least 0.1, was 0"),
        ("bed_mm", "bed", "14: printer.bed: unknown key; did you mean bed_mm?"),
        ("0.45", "-1", "17: prices.magnet: must be at least 0, was -1"),
        ('currency = "EUR"\n', "", "15: prices.currency: must be given, was missing"),
        ("plastic_per_kg = 22.5", "wire_per_m = 0.02",
         "18: prices.wire_per_kg: must be left out when wire_per_m is given, was 38"),
    ],
)  # fmt: skip
def test_one_fault_in_printer_and_prices(old: str, new: str, message: str) -> None:
    assert old in WORKSHOP
    assert [
        fault for fault in told(LEAST + WORKSHOP.replace(old, new)) if "must be given as" not in fault
    ] == [f"brief.toml:{message}"]


def test_all_faults_at_once() -> None:
    written = (
        TEXT.replace("bore_diameter_mm = 30", "bore_diameter_mm = 120")
        .replace("wall_mm = 2", "wal_mm = 2")
        .replace("rpm = 400", "rpm = false")
        .replace('"N42"', '"N43"')
        .replace("quantity = 16", "quantity = 0")
        .replace("0.25, 0.315", "0.2, 3.3")
        .replace("length_m = 60", "")
        .replace("resistance_ohm = 25", "")
        .replace('"emf_rms" ', "7 ")
    )
    assert [fault.split(": ", 2)[:2] for fault in told(written)] == [
        ["brief.toml:6", "space.bore_diameter_mm"],
        ["brief.toml:7", "space.wal_mm"],
        ["brief.toml:12", "speed.rpm"],
        ["brief.toml:18", "magnets[1].grade"],
        ["brief.toml:19", "magnets[1].quantity"],
        ["brief.toml:21", "wire"],
        ["brief.toml:22", "wire.diameters_mm[2]"],
        ["brief.toml:22", "wire.diameters_mm[3]"],
        ["brief.toml:32", "goal.maximise"],
    ]


@pytest.mark.parametrize("written", ["", "# only a comment\n", "\n\n"])
def test_an_empty_brief(written: str) -> None:
    assert told(written) == ["brief.toml: must be a TOML file with tables and keys, was empty"]


def test_no_file_and_a_directory(tmp_path: Path) -> None:
    with pytest.raises(FileFaults, match="was a directory"):
        read_brief(tmp_path)
    with pytest.raises(FileFaults, match="was not found"):
        read_brief(tmp_path / "none.toml")


def test_odd_quantities_and_magnets_too_large_for_the_space_are_no_faults() -> None:
    assert brief_from_text(TEXT.replace("quantity = 16", "quantity = 7"), "f").magnets[0].quantity == 7
    large = brief_from_text(TEXT.replace("\ndiameter_mm = 15", "\ndiameter_mm = 90"), "f")
    assert large.magnets[0].magnet.diameter == 0.09


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"magnets": ()}, "magnets must hold at least one"),
        ({"length": None, "resistance": None}, "length or resistance must be given"),
        ({"goal": "volts"}, "goal must be one of emf_rms, power, was volts"),
        ({"air_gap": float("nan")}, "air_gap must be above zero, was nan"),
        ({"bed": (0.2, 0.0)}, "bed must be two lengths above zero, was (0.2, 0.0)"),
    ],
)
def test_the_constructor_is_a_second_line(change: dict[str, object], message: str) -> None:
    with pytest.raises(ValueError, match=re.escape(message)):
        replace(read_brief(LANTERN), **change)  # type: ignore[arg-type]


def test_prices_below_zero_or_two_for_wire_are_refused() -> None:
    with pytest.raises(ValueError, match="magnet must not be below zero, was -1"):
        Prices(currency="EUR", magnet=-1)
    with pytest.raises(ValueError, match="at most one of wire_per_m and wire_per_kg must be given"):
        Prices(currency="EUR", wire_per_m=1, wire_per_kg=1)
