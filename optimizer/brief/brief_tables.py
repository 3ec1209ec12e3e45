"""The tables of a brief's file: keys, ranges, defaults and what must agree with what."""

from __future__ import annotations

from typing import Annotated

from geometry.coils.topology import TOPOLOGIES
from geometry.files.key_tables import (
    Earlier,
    Table,
    choice,
    key,
    listed,
    quantity,
    refuse,
    refuse_table,
    rule,
    text,
    whole,
)
from geometry.machine.machine_tables import (
    AirGap,
    EnamelGrade,
    FillFactor,
    Height,
    MagnetTable,
    Peg,
    Phases,
    RotorTable,
    Size,
    SpaceTable,
    Speed,
    Wall,
    WireSize,
    magnet_of,
)
from geometry.stock.magnet import Magnet
from optimizer.brief.goal_tables import GoalTable, check_load
from optimizer.brief.prices import PricesTable
from optimizer.loads.load_file import LoadTable


class BriefSpaceTable(SpaceTable):
    """The space, with what must be left free in it."""

    wall: Wall = key("wall_mm", 2)
    air_gap: AirGap = key("air_gap_mm", 1.5)
    coil_height: Height = key("coil_height_mm", 5)


class _Speed(Table):
    rpm: Speed = key("rpm")


class _Magnet(MagnetTable):
    quantity: Annotated[int | None, whole(minimum=2, maximum=100_000)] = key("quantity", None)


class _Wire(Table):
    diameters: Annotated[list[WireSize], listed("wire diameters")] = key("diameters_mm")
    enamel_grade: EnamelGrade = key("enamel_grade", 1)
    length: Annotated[float | None, quantity(minimum="0.1", maximum="1000000")] = key("length_m", None)
    resistance: Annotated[float | None, quantity(minimum="0.001", maximum="1000000")] = key("resistance_ohm", None)
    fill_factor: FillFactor = key("fill_factor", 0.6)
    peg_diameter: Peg = key("peg_diameter_mm", 3)

    @rule("resistance")
    @classmethod
    def _a_limit(cls, resistance: float | None, earlier: Earlier) -> float | None:
        if resistance is None and earlier.data.get("length", "a wrong one") is None:
            refuse_table("length_m or resistance_ohm must be given, was missing")
        return resistance


class _Coil(Table):
    topologies: Annotated[list[Annotated[str, choice(TOPOLOGIES)]], listed("coil shapes")] = key(
        "topologies", list(TOPOLOGIES)
    )
    phases: Annotated[list[Phases], listed("numbers of phases")] = key("phases", [1])
    least_layers: Annotated[int, whole(minimum=1, maximum=20)] = key("least_layers", 3)

    @rule("phases")
    @classmethod
    def _one_or_three(cls, phases: list[int]) -> list[int]:
        if 2 in phases:
            refuse("be 1, 3 or both", "2")
        return phases


class _Printer(Table):
    bed: Annotated[list[Size], listed("two lengths", distinct=False)] = key("bed_mm")

    @rule("bed")
    @classmethod
    def _two(cls, bed: list[float]) -> list[float]:
        if len(bed) != 2:
            refuse("be a list of two lengths, width and depth", f"a list of {len(bed)}")
        return bed


class BriefTable(Table):
    """A whole brief."""

    title: Annotated[str, text()] = key("title", "Untitled")
    space: BriefSpaceTable = key("space")
    speed: _Speed = key("speed")
    magnets: Annotated[list[_Magnet], listed("[[magnets]] tables", distinct=False)] = key("magnets")
    wire: _Wire = key("wire")
    coil: _Coil = key("coil", _Coil())
    rotor: RotorTable = key("rotor", RotorTable())
    goal: GoalTable = key("goal", GoalTable())
    load: LoadTable | None = key("load", None)
    printer: _Printer | None = key("printer", None)
    prices: PricesTable | None = key("prices", None)

    @rule("load")
    @classmethod
    def _wanted(cls, load: LoadTable | None, earlier: Earlier) -> LoadTable | None:
        if (goal := earlier.data.get("goal")) is not None:
            check_load(load, goal)
        return load

    @rule("magnets")
    @classmethod
    def _each_once(cls, magnets: list[_Magnet]) -> list[_Magnet]:
        seen: dict[Magnet, int] = {}
        for entry, table in enumerate(magnets, 1):
            first = seen.setdefault(magnet_of(table), entry)
            if first != entry:
                refuse(
                    "list each magnet once (add up the quantities)",
                    f"magnets[{first}] again in magnets[{entry}]",
                )
        return magnets
