"""The wire of a brief: its tables and their values."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import product, takewhile
from typing import Annotated

from geometry.files.key_tables import (
    Earlier,
    Table,
    key,
    listed,
    presence,
    quantity,
    refuse,
    refuse_table,
    require_one,
    rule,
)
from geometry.files.schema import require_positive
from geometry.files.values import decimal_of
from geometry.files.writing import Row, length_row
from geometry.machine.layout_file import EnamelGrade, FillFactor, Gauge, Peg, SizeTable, Strands, WireSize
from geometry.stock.wire import AWG, Wire
from geometry.stock.wire_words import wire_size

PRICE = quantity(minimum="0", maximum="1000000")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spool:
    """Wire at hand in one piece. length: m; price: of the whole spool, in the currency of the prices, or None.

    Raises ValueError for a length that is not above zero.
    """

    wire: Wire
    length: float
    price: float | None = None

    def __post_init__(self) -> None:
        require_positive(self, "length")


class SpoolTable(SizeTable):
    """[[spools]]"""

    enamel_grade: EnamelGrade | None = key(
        "enamel_grade", None, "2 for the thicker enamel", "Enamel", usual="that of `wire.enamel_grade`"
    )
    length: Annotated[float | None, quantity(minimum="0.1", maximum="1000000")] = key(
        "length_m", None, "in one piece; ends, joints and 2 % to spare are kept of it", usual="this or `mass_g`"
    )
    mass: Annotated[
        float | None, quantity(positive=True, maximum="1000000", milli=True, hint="is the unit grams?")
    ] = key("mass_g", None, "of the wire without its spool, in place of its length", usual="this or `length_m`")
    price: Annotated[float | None, PRICE] = key("price", None, "of the whole spool", usual="none")

    @presence("mass")
    @staticmethod
    def _one_amount(mass: object, earlier: Earlier) -> None:
        require_one(mass, "mass_g", earlier.data.get("length", "a wrong one"), "length_m")


class WireTable(Table):
    """What wire there is, and what a winding of it is held to."""

    diameters: Annotated[list[WireSize] | None, listed("wire diameters")] = key(
        "diameters_mm", None, "bare copper, any sizes", "Wire sizes to choose from, bare copper, mm",
        usual="this, `awg` or `[[spools]]`",
    )  # fmt: skip
    gauges: Annotated[list[Gauge] | None, listed("wire gauges")] = key(
        "awg", None, "American wire gauges, beside `diameters_mm` or in its place", "Wire sizes to choose from, AWG",
        usual="this, `diameters_mm` or `[[spools]]`",
    )  # fmt: skip
    enamel_grade: EnamelGrade = key("enamel_grade", 1, meaning="2 for the thicker enamel", label="Enamel")
    strands: Annotated[list[Strands], listed("numbers of strands")] = key(
        "strands", [1], "wires side by side that make each turn together: numbers to try", "Strands in hand to try"
    )
    length: Annotated[float | None, quantity(minimum="0.1", maximum="1000000")] = key(
        "length_m", None, "at hand, all phases together; ends, joints and 2 % to spare are kept of it",
        "Wire at hand", usual="this or `resistance_ohm`",
    )  # fmt: skip
    resistance: Annotated[float | None, quantity(minimum="0.001", maximum="1000000")] = key(
        "resistance_ohm", None, "most the turns of one phase may have, at 20 °C", "Resistance, at most",
        usual="this or `length_m`",
    )  # fmt: skip
    fill_factor: FillFactor = key(
        "fill_factor", 0.6, "most of the bundle's section that insulated wire may take", "Fill factor, at most",
    )  # fmt: skip
    peg_radius: Peg = key(
        "peg_diameter_mm", 3, "least diameter of the corners of the winding former", "Peg diameter, at least"
    )

    @rule("gauges")
    @classmethod
    def _each_once(cls, gauges: list[int] | None, earlier: Earlier) -> list[int] | None:
        given = earlier.data.get("diameters") or ()
        if again := [gauge for gauge in gauges or () if AWG[gauge] in given]:
            refuse("name no size that diameters_mm holds", str(again[0]))
        return gauges

    @rule("resistance")
    @classmethod
    def _a_limit(cls, resistance: float | None, earlier: Earlier) -> float | None:
        listed = [earlier.data.get(name, "a wrong one") for name in ("diameters", "gauges")]
        if resistance is None and earlier.data.get("length", "a wrong one") is None and listed != [None, None]:
            refuse_table("length_m or resistance_ohm must be given, was missing")
        return resistance


def check_spools(spools: Sequence[SpoolTable] | None, table: WireTable) -> None:
    """Refuse a brief without any wire, and a spool of a wire that can be had in any length."""
    listed = wires_of(table)
    if not listed and not spools:
        refuse_table("wire.diameters_mm, wire.awg or [[spools]] must be given, was missing")
    for entry, spool in enumerate(spools_of(spools, table), 1):
        if spool.wire in listed:
            refuse(
                "hold no size that [wire] lists, which can be had in any length",
                f"{wire_size(spool.wire)} in spools[{entry}]",
            )


def spools_of(tables: Sequence[SpoolTable] | None, wire: WireTable) -> tuple[Spool, ...]:
    """The spools of valid tables."""
    spools: list[Spool] = []
    for table in tables or ():
        own = Wire(diameter=table.bare, grade=table.enamel_grade or wire.enamel_grade)
        length = table.length if table.mass is None else table.mass / own.mass_per_metre
        spools.append(Spool(wire=own, length=length or 0.0, price=table.price))
    return tuple(spools)


def spool_rows(spool: Spool) -> list[Row]:
    """A spool as a file states it."""
    gauge = spool.wire.gauge
    return [
        length_row("diameter_mm", None if gauge else spool.wire.diameter, "bare copper"),
        ("awg", gauge, "American wire gauge"),
        ("enamel_grade", spool.wire.grade, "1 or 2, 2 being the thicker enamel"),
        ("length_m", decimal_of(spool.length), "in one piece"),
        ("price", None if spool.price is None else decimal_of(spool.price), "of the whole spool"),
    ]


def wires_of(table: WireTable) -> tuple[Wire, ...]:
    """The wires of a valid table, those given in millimetres first."""
    bare = [*(table.diameters or ()), *(AWG[gauge] for gauge in table.gauges or ())]
    return tuple(Wire(diameter=diameter, grade=table.enamel_grade) for diameter in bare)


def with_strands(wires: Iterable[Wire], strands: Iterable[int]) -> tuple[Wire, ...]:
    """Each wire in each number of strands, every one once."""
    return tuple(dict.fromkeys(replace(wire, strands=number) for wire, number in product(wires, strands)))


def size_rows(wires: Sequence[Wire]) -> list[Row]:
    """Wires that can be had in any length, as a file states them: gauges at the end of the list as such."""
    if not wires:
        return []
    gauges = [*takewhile(lambda wire: wire.gauge is not None, reversed(wires))][::-1]
    diameters = [decimal_of(wire.diameter, milli=True) for wire in wires[: len(wires) - len(gauges)]]
    return [
        ("diameters_mm", diameters or None, "bare copper, from 0.05 to 3"),
        ("awg", [Decimal(wire.gauge or 0) for wire in gauges] or None, "American wire gauges"),
        ("enamel_grade", wires[0].grade, "1 or 2, 2 being the thicker enamel"),
    ]
