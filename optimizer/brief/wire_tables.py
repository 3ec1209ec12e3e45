"""The wire of a brief: its tables and their values."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from itertools import takewhile
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
    rule,
)
from geometry.files.values import decimal_of
from geometry.files.writing import Row
from geometry.machine.layout_file import EnamelGrade, FillFactor, Gauge, Peg, WireSize
from geometry.stock.wire import AWG, Wire


class WireTable(Table):
    """What wire there is, and what a winding of it is held to."""

    USUAL = ("diameters_mm",)

    diameters: Annotated[list[WireSize] | None, listed("wire diameters")] = key(
        "diameters_mm", None, "bare copper, any sizes", "Wire sizes to choose from, bare copper, mm",
        usual="this or `awg`",
    )  # fmt: skip
    gauges: Annotated[list[Gauge] | None, listed("wire gauges")] = key(
        "awg", None, "American wire gauges, beside `diameters_mm` or in its place", "Wire sizes to choose from, AWG",
        usual="this or `diameters_mm`",
    )  # fmt: skip
    enamel_grade: EnamelGrade = key("enamel_grade", 1, meaning="2 for the thicker enamel", label="Enamel")
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

    @presence("gauges")
    @staticmethod
    def _a_size(gauges: object, earlier: Earlier) -> None:
        if gauges is None and earlier.data.get("diameters", "a wrong one") is None:
            refuse_table("diameters_mm or awg must be given, was missing")

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
        if resistance is None and earlier.data.get("length", "a wrong one") is None:
            refuse_table("length_m or resistance_ohm must be given, was missing")
        return resistance


def wires_of(table: WireTable) -> tuple[Wire, ...]:
    """The wires of a valid table, those given in millimetres first."""
    bare = [*(table.diameters or ()), *(AWG[gauge] for gauge in table.gauges or ())]
    return tuple(Wire(diameter=diameter, grade=table.enamel_grade) for diameter in bare)


def size_rows(wires: Sequence[Wire]) -> list[Row]:
    """The sizes and the enamel as a file states them: those at the end of the list that are gauges as such."""
    gauges = [*takewhile(lambda wire: wire.gauge is not None, reversed(wires))][::-1]
    diameters = [decimal_of(wire.diameter, milli=True) for wire in wires[: len(wires) - len(gauges)]]
    return [
        ("diameters_mm", diameters or None, "bare copper, from 0.05 to 3"),
        ("awg", [Decimal(wire.gauge or 0) for wire in gauges] or None, "American wire gauges"),
        ("enamel_grade", wires[0].grade, "1 or 2, 2 being the thicker enamel"),
    ]
