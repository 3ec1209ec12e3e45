"""The tables of a brief's file: keys, ranges, defaults and what must agree with what."""

from __future__ import annotations

from typing import Annotated

from geometry.coils.topology import TOPOLOGIES, USUAL_TOPOLOGIES
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

    wall: Wall = key(
        "wall_mm", 2, meaning="least material around each magnet pocket", label="Wall around magnets"
    )
    air_gap: AirGap = key(
        "air_gap_mm", 1.5,
        "magnet face to insulated copper, covers and their glue included; parts to print need 0.85",
    )  # fmt: skip
    coil_height: Height = key(
        "coil_height_mm", 5, meaning="most the winding may take along the shaft", label="Coil height, at most"
    )


class _Speed(Table):
    rpm: Speed = key("rpm", meaning="of the magnets past the coil", label="Speed of the disc")


class _Magnet(MagnetTable):
    quantity: Annotated[int | None, whole(minimum=2, maximum=100_000)] = key(
        "quantity", None, "how many are at hand", "At hand (empty: any number)", usual="any number"
    )


class _Wire(Table):
    diameters: Annotated[list[WireSize], listed("wire diameters")] = key(
        "diameters_mm", meaning="bare copper, any sizes", label="Wire sizes to choose from, bare copper, mm"
    )
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
    peg_diameter: Peg = key(
        "peg_diameter_mm", 3, "least diameter of the corners of the winding former", "Peg diameter, at least"
    )

    @rule("resistance")
    @classmethod
    def _a_limit(cls, resistance: float | None, earlier: Earlier) -> float | None:
        if resistance is None and earlier.data.get("length", "a wrong one") is None:
            refuse_table("length_m or resistance_ohm must be given, was missing")
        return resistance


class _Coil(Table):
    topologies: Annotated[list[Annotated[str, choice(TOPOLOGIES)]], listed("coil shapes")] = key(
        "topologies", list(USUAL_TOPOLOGIES), "which shapes to try", "Coil shapes to try", usual="the first three",
    )  # fmt: skip
    phases: Annotated[list[Phases], listed("numbers of phases")] = key(
        "phases", [1], meaning="numbers of phases to try, of 1 and 3", label="Numbers of phases to try"
    )
    least_layers: Annotated[int, whole(minimum=1, maximum=20)] = key(
        "least_layers",
        3,
        meaning="least height and width of a bundle, in wires with their enamel (of each half where "
        "phases interleave): what hands can wind",
        label="Bundle, at least",
        unit="wires high and wide",
    )

    @rule("phases")
    @classmethod
    def _one_or_three(cls, phases: list[int]) -> list[int]:
        if 2 in phases:
            refuse("be 1, 3 or both", "2")
        return phases


class _Printer(Table):
    bed: Annotated[list[Size], listed("two lengths", distinct=False)] = key(
        "bed_mm", meaning="width and depth that parts are printed on", label="Bed, width and depth: 220, 220"
    )

    @rule("bed")
    @classmethod
    def _two(cls, bed: list[float]) -> list[float]:
        if len(bed) != 2:
            refuse("be a list of two lengths, width and depth", f"a list of {len(bed)}")
        return bed


class BriefTable(Table):
    """A whole brief."""

    title: Annotated[str, text()] = key("title", "Untitled", meaning="for the report")
    space: BriefSpaceTable = key("space")
    speed: _Speed = key("speed")
    magnets: Annotated[list[_Magnet], listed("[[magnets]] tables", distinct=False)] = key("magnets")
    wire: _Wire = key("wire")
    coil: _Coil = key("coil", _Coil())
    rotor: RotorTable = key("rotor", RotorTable())
    goal: GoalTable = key("goal", GoalTable())
    load: LoadTable | None = key(
        "load", None, meaning="what the machine feeds, for the last two goals: the table of a load file"
    )
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
