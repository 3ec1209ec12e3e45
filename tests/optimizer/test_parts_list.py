"""The bill of materials: masses and volumes of the parts themselves, wire by its rule, prices worked by hand."""

from __future__ import annotations

import csv
from functools import cache
from io import StringIO
from math import pi
from pathlib import Path

import pytest
import trimesh
from family import facing_wedges
from layouts import lantern_layout
from shown import card_of

from geometry.files.reading import FileFaults
from geometry.machine.layout import Layout
from optimizer.brief.brief import Brief, brief_from_text
from optimizer.building.pack_parts import PackOptions, PackParts, pack_parts
from optimizer.building.parts_list import COLUMNS, PartsList, glue_volume, parts_csv, parts_list
from optimizer.jobs.documents import csv_bytes
from optimizer.motors.comparison import read_prices

BRIEF = (Path(__file__).parents[2] / "studies" / "lantern" / "brief.toml").read_text(encoding="utf-8")
PRICES = '[prices]\ncurrency = "EUR"\nmagnet = 0.45\nwire_per_kg = 38\nplastic_per_kg = 22.5\n'


made = cache(pack_parts)


def listing(
    layout: Layout, options: PackOptions | None = None, brief: Brief | None = None
) -> tuple[PartsList, PackParts]:
    parts = made(layout, options or PackOptions())
    return parts_list(card_of(layout), parts.pieces, brief), parts


def rows_of(listed: PartsList) -> list[dict[str, str]]:
    text = parts_csv(listed).decode()
    rows = list(csv.DictReader(StringIO(text, newline="")))
    assert tuple(rows[0]) == COLUMNS
    return rows


def test_round_machine_by_hand() -> None:
    """The machine of the winding card: 16.085 m of turns and 1.235 m of ends, 2 % more is 17.67, bought as 17.7 m.

    Copper of the turns: 16.085 m · π 0.125² mm² · 8.89 g/cm³ = 7.019 g. Magnets: 8 · 5.2308 g = 41.85 g. Wire
    of 17.7 m: copper 7.724 g, and enamel between 0.25 and 0.281 mm of 1.4 g/cm³, 0.320 g: 8.044 g.
    """
    listed, _ = listing(lantern_layout("round"))
    rows = {row.item: row for row in listed.rows}
    assert rows["wire"].quantity == pytest.approx(17.7)
    assert rows["wire"].mass == pytest.approx(8.044e-3, abs=2e-6)
    assert listed.copper_mass == pytest.approx(7.019e-3, abs=1e-6)
    assert listed.magnet_mass == pytest.approx(41.85e-3, abs=1e-5)
    assert (rows["magnets"].quantity, rows["magnets"].unit) == (8, "piece")
    assert listed.total is None
    assert listed.wire_short == 0


@pytest.mark.slow
@pytest.mark.parametrize("bed", [None, (0.1, 0.1)])
def test_printed_volumes_are_those_of_the_files(bed: tuple[float, float] | None) -> None:
    listed, parts = listing(lantern_layout("wedge"), PackOptions(bed=bed))
    rows = {row.item: row for row in listed.rows}
    for part in parts.pieces:
        mesh = trimesh.Trimesh(part.mesh.corners_mm, part.mesh.triangles)
        assert rows[part.name].quantity == pytest.approx(mesh.volume * 1e-3, rel=5e-3)
        assert rows[part.name].mass == pytest.approx(mesh.volume * 1.24e-6, rel=5e-3)
    assert listed.plastic_mass == pytest.approx(sum(part.volume for part in parts.pieces) * 1240)


def test_prices_by_hand() -> None:
    brief = brief_from_text(BRIEF + PRICES, "brief.toml")
    listed, _ = listing(lantern_layout("round"), brief=brief)
    rows = {row.item: row for row in listed.rows}
    assert rows["magnets"].price == pytest.approx(8 * 0.45)
    assert rows["wire"].price == pytest.approx(8.044e-3 * 38, rel=1e-3)
    assert rows["carrier"].mass is not None
    assert rows["carrier"].price == pytest.approx(rows["carrier"].mass * 22.5)
    assert rows["adhesive"].price is None
    assert listed.unpriced == ("adhesive", "shaft, bearings, fasteners, frame")
    prices = [row.price for row in listed.rows if row.price is not None]
    assert listed.total == pytest.approx(sum(prices))
    last = rows_of(listed)[-1]
    assert (last["item"], last["currency"]) == ("total", "EUR")
    assert float(last["price"]) == pytest.approx(sum(prices), abs=0.005)


def test_wire_by_the_metre_and_wire_that_falls_short() -> None:
    priced = BRIEF.replace("length_m = 60", "length_m = 17") + '[prices]\ncurrency = "€"\nwire_per_m = 0.02\n'
    listed, _ = listing(lantern_layout("round"), brief=brief_from_text(priced, "brief.toml"))
    assert listed.total == pytest.approx(17.7 * 0.02)
    assert listed.wire_short == pytest.approx(17.320 * 1.02 - 17, abs=1e-3)


def test_glue() -> None:
    """A line of 0.15 mm, twice: under eight magnets of 176.7 mm² and a cover of π (55² − 15²) mm² = 8796 mm²."""
    assert glue_volume(lantern_layout()) == pytest.approx((8 * 176.715 + 8796.459) * 0.3 * 1e-9, rel=1e-5)


def test_the_table_reads_back() -> None:
    listed, _ = listing(lantern_layout("wedge"))
    rows = rows_of(listed)
    assert [row["item"] for row in rows] == [row.item for row in listed.rows]
    assert rows[0]["quantity"] == "8"
    assert float(rows[0]["mass_g"]) == pytest.approx(8 * pi / 4 * 1.5**2 * 0.4 * 7.4, abs=0.01)
    assert all("\u00a0" not in cell for row in rows for cell in row.values())


def test_facing_carriers_with_steel_by_hand() -> None:
    """Sixteen magnets, two covers, two plates of π/4 (110² − 30²) · 3 mm³ = 26 389 mm³ of 7.85 g/cm³: 414.3 g."""
    layout = facing_wedges()
    listed, parts = listing(layout)
    rows = {row.item: row for row in listed.rows}
    assert rows["magnets"].quantity == 16
    assert rows["steel plate"].quantity == 2
    assert rows["steel plate"].mass == pytest.approx(0.4143, abs=1e-4)
    (cover,) = [part for part in parts.whole if part.name == "cover"]
    assert rows["cover"].quantity == pytest.approx(2 * cover.volume * 1e6)
    assert rows["carrier_second"].quantity == pytest.approx(parts.whole[0].volume * 1e6, rel=1e-2)
    assert glue_volume(layout) > 2 * glue_volume(lantern_layout("wedge"))


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t=", " =", "＝"])
def test_no_cell_is_a_formula(start: str) -> None:
    """A spreadsheet runs what begins like a formula: currency, titles and remarks stay texts."""
    evil = f"{start}cmd|' /C calc'!A1"
    brief = brief_from_text(BRIEF + PRICES.replace('"EUR"', f'"{evil}"').replace("\t", ""), "brief.toml")
    listed, _ = listing(lantern_layout("round"), brief=brief)
    cells = [cell for row in rows_of(listed) for cell in row.values()]
    assert any("cmd" in cell for cell in cells)
    assert not any("cmd" in cell and not cell.startswith("'") for cell in cells)


def test_numbers_and_plain_texts_stay_as_they_are_in_every_table() -> None:
    rows = [{"name": "=1+1", "volts": -1.5, "text": "-1.5", "plain": "a = b", "none": None}]
    assert csv_bytes(rows) == b"name,volts,text,plain,none\r\n'=1+1,-1.5,-1.5,a = b,\r\n"


def test_prices_stand_in_any_file(tmp_path: Path) -> None:
    """In a list of nothing else, or in a brief; without them the file is none of those."""
    for name, text in (("prices.toml", PRICES), ("brief.toml", BRIEF + PRICES)):
        (tmp_path / name).write_text(text, encoding="utf-8")
        assert read_prices(tmp_path / name).wire_per_kg == 38
    (tmp_path / "none.toml").write_text(BRIEF.partition("[prices]")[0], encoding="utf-8")
    with pytest.raises(FileFaults, match="must be a list of prices, was a brief"):
        read_prices(tmp_path / "none.toml")
    (tmp_path / "wrong.toml").write_text(BRIEF + PRICES.replace("38", "-38"), encoding="utf-8")
    with pytest.raises(FileFaults, match=r"prices.wire_per_kg: must be at least 0, was -38"):
        read_prices(tmp_path / "wrong.toml")
