"""The brief: what someone has and needs, read from TOML with every fault at once."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Annotated

from geometry.coils.topology import TOPOLOGIES, USUAL_TOPOLOGIES
from geometry.files.key_tables import (
    Earlier,
    Table,
    choice,
    key,
    listed,
    refuse,
    rule,
    text,
    whole,
)
from geometry.files.reading import read_back, read_text, table_from_text
from geometry.files.schema import keyed_rows, require_positive
from geometry.files.values import decimal_of
from geometry.files.writing import Row, length_row, toml_text
from geometry.machine.layout import Space
from geometry.machine.layout_file import (
    AirGap,
    Height,
    Phases,
    RotorTable,
    Size,
    SpaceTable,
    Speed,
    Wall,
    magnet_of,
)
from geometry.stock.magnet import Magnet
from geometry.stock.wire import Wire
from optimizer.brief.goal import (
    GOALS,
    GoalTable,
    Prices,
    PricesTable,
    check_load,
    goal_rows,
    prices_of,
    target_of,
)
from optimizer.brief.magnet_stock import StockMagnet, StockTable, stock_of, stock_rows
from optimizer.brief.wire_tables import (
    Spool,
    SpoolTable,
    WireTable,
    check_spools,
    size_rows,
    spool_rows,
    spools_of,
    wires_of,
    with_strands,
)
from optimizer.loads.load_file import LoadTable
from optimizer.loads.load_target import LoadTarget

HEADING = "A brief: the magnets and the wire at hand, the space, the speed. Lengths in millimetres."


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
    magnets: Annotated[list[StockTable], listed("[[magnets]] tables", distinct=False)] = key("magnets")
    wire: WireTable = key("wire", WireTable())
    spools: Annotated[list[SpoolTable], listed("[[spools]] tables", distinct=False)] | None = key("spools", None)
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

    @rule("spools")
    @classmethod
    def _some_wire(cls, spools: list[SpoolTable] | None, earlier: Earlier) -> list[SpoolTable] | None:
        if (wire := earlier.data.get("wire")) is not None:
            check_spools(spools, wire)
        return spools

    @rule("magnets")
    @classmethod
    def _each_once(cls, magnets: list[StockTable]) -> list[StockTable]:
        seen: dict[Magnet, int] = {}
        for entry, table in enumerate(magnets, 1):
            first = seen.setdefault(magnet_of(table), entry)
            if first != entry:
                refuse(
                    "list each magnet once (add up the quantities)",
                    f"magnets[{first}] again in magnets[{entry}]",
                )
        return magnets


@dataclass(frozen=True, slots=True, kw_only=True)
class Brief:
    """What a search starts from.

    air_gap: magnet face to the nearest copper's insulation, m. coil_height: the most the winding takes along
    the shaft, m. magnets, wires, topologies: what may be chosen from. length: wire at hand for the turns of
    all phases, their ends, joints and spare, m, or None. spools: wire in one piece each, of sizes that are had in
    no other length; their wires are among `wires`. resistance: the most one phase may have at 20 °C, Ω, or
    None. fill_factor: the most that insulated wire takes of a bundle's section. peg_radius: least radius of the
    former's corners, m.
    least_layers: least height and width of a bundle, or of each half of an interleaved one, in wires with enamel.
    goal: "emf_rms" or "power". phases: numbers of phases to try, of 1 and 3. arrangement, plate: of the carriers, see
    `geometry.machine.layout.Carrier`. bed: width and depth of the printer's bed, m, or None. prices: for the bill of
    materials, or None; the search heeds neither. target: a load to search for (`optimizer.search.load_search`), or
    None; every other search goes by the goal. Raises ValueError when there is nothing to choose from, no
    limit to the wire, or no such goal.
    """

    title: str
    space: Space
    air_gap: float
    coil_height: float
    speed_rpm: float
    magnets: tuple[StockMagnet, ...]
    wires: tuple[Wire, ...]
    length: float | None
    resistance: float | None
    fill_factor: float
    peg_radius: float
    topologies: tuple[str, ...]
    goal: str
    least_layers: int = 3
    bed: tuple[float, float] | None = None
    prices: Prices | None = None
    phases: tuple[int, ...] = (1,)
    arrangement: str = "single"
    plate: float = 0.0
    target: LoadTarget | None = None
    spools: tuple[Spool, ...] = ()

    @property
    def sold(self) -> tuple[Wire, ...]:
        """The wires, strand by strand, that can be had in any length: those of no spool."""
        held = {spool.wire for spool in self.spools}
        return tuple(dict.fromkeys(wire.strand for wire in self.wires if wire.strand not in held))

    @property
    def strands(self) -> tuple[int, ...]:
        """The numbers of wires side by side that may make a turn together."""
        return tuple(dict.fromkeys(wire.strands for wire in self.wires))

    def length_of(self, wire: Wire) -> float | None:
        """The most of a wire that a winding may take in one piece, ends and spare included, m; None for any length."""
        return max((spool.length for spool in self.spools if spool.wire == wire.strand), default=self.length)

    def spool_for(self, wire: Wire, length: float) -> int | None:
        """The shortest spool of a wire that holds so much, m, by its number from 1; None where none does."""
        fitting = [
            (spool.length, number)
            for number, spool in enumerate(self.spools, 1)
            if spool.wire == wire.strand and spool.length * (1 + 1e-9) >= length
        ]
        return min(fitting)[1] if fitting else None

    def within_length(self, length: float) -> Brief:
        """The brief with at most so much of any wire, m."""
        spools = tuple(replace(spool, length=min(spool.length, length)) for spool in self.spools)
        return replace(self, length=length, spools=spools)

    @property
    def carriers(self) -> int:
        """Number of carrier discs."""
        return 2 if self.arrangement == "facing" else 1

    def __post_init__(self) -> None:
        for name in ("magnets", "wires", "topologies"):
            if not getattr(self, name):
                raise ValueError(f"{name} must hold at least one, was empty")
        require_positive(self, "air_gap", "coil_height", "speed_rpm", "fill_factor", "peg_radius", "least_layers")
        require_positive(self, "length", "resistance")
        if self.bed is not None and not all(side > 0 for side in self.bed):
            raise ValueError(f"bed must be two lengths above zero, was {self.bed}")
        if self.length is None and self.resistance is None and self.sold:
            raise ValueError("length or resistance must be given, was None")
        if self.goal not in GOALS:
            raise ValueError(f"goal must be one of {', '.join(GOALS)}, was {self.goal}")


def read_brief(path: str | os.PathLike[str], kind: type[BriefTable] = BriefTable) -> Brief:
    """The brief of a file, held to the rules of `kind`. Raises FileFaults with every fault in it."""
    return brief_from_text(read_text(path), os.fspath(path), kind)


def brief_from_text(text: str, name: str, kind: type[BriefTable] = BriefTable) -> Brief:
    """The brief that `text` holds; `name` stands for the file in messages. Raises FileFaults."""
    table = table_from_text(text, name, kind)
    space, wire, spools = table.space, table.wire, spools_of(table.spools, table.wire)
    return Brief(
        title=table.title,
        space=Space(outer_diameter=space.outer_diameter, bore_diameter=space.bore_diameter, wall=space.wall),
        air_gap=space.air_gap,
        coil_height=space.coil_height,
        speed_rpm=table.speed.rpm,
        magnets=tuple(map(stock_of, table.magnets)),
        wires=with_strands((*wires_of(wire), *(spool.wire for spool in spools)), wire.strands),
        spools=spools,
        length=wire.length,
        resistance=wire.resistance,
        fill_factor=wire.fill_factor,
        peg_radius=wire.peg_radius,
        topologies=tuple(table.coil.topologies),
        least_layers=table.coil.least_layers,
        goal=table.goal.maximise if table.load is None else "emf_rms",
        target=target_of(table.goal, table.load),
        bed=(table.printer.bed[0], table.printer.bed[1]) if table.printer else None,
        prices=prices_of(table.prices) if table.prices else None,
        phases=tuple(table.coil.phases),
        arrangement=table.rotor.arrangement,
        plate=table.rotor.plate,
    )


def brief_text(brief: Brief) -> str:
    """The file of a brief, with comments; the exact inverse of `brief_from_text`.

    Raises ValueError for a brief that the file could not give back: a value beyond the file's limits, a
    remanence that is not its grade's, or wires of different enamel.
    """
    grades = sorted({wire.grade for wire in brief.sold})
    if len(grades) > 1:
        raise ValueError(f"all wires of a brief that are on no spool must have one grade of enamel, was {grades}")
    if with_strands((*brief.sold, *(spool.wire for spool in brief.spools)), brief.strands) != brief.wires:
        raise ValueError("all wires of a brief must come in the same numbers of strands, those on spools last")
    written = toml_text(
        HEADING,
        [("title", brief.title, "")],
        [
            ("[space]", _space_rows(brief)),
            ("[speed]", [("rpm", decimal_of(brief.speed_rpm), "turns of the disc in a minute")]),
            *(("[[magnets]]", stock_rows(each)) for each in brief.magnets),
            ("[wire]", _wire_rows(brief)),
            *(("[[spools]]", spool_rows(spool)) for spool in brief.spools),
            ("[coil]", _coil_rows(brief)),
            *_rotor_tables(brief),
            *goal_rows(brief.goal, brief.target),
            *_workshop_tables(brief),
        ],
    )
    read_back(written, "brief", brief_from_text)
    return written


def _coil_rows(brief: Brief) -> list[Row]:
    phases = None if brief.phases == (1,) else [Decimal(number) for number in brief.phases]
    return [
        ("topologies", brief.topologies, "the shapes to try"),
        ("phases", phases, "numbers of phases to try"),
        ("least_layers", brief.least_layers, "least height and width of a bundle, in wires"),
    ]


def _rotor_tables(brief: Brief) -> Iterator[tuple[str, list[Row]]]:
    """Written only for what differs from one plain carrier."""
    if brief.arrangement != "single" or brief.plate:
        plate = decimal_of(brief.plate, milli=True)
        rows: list[Row] = [("arrangement", brief.arrangement, "single, facing or two-sided")]
        yield "[rotor]", [*rows, ("plate_mm", plate, "steel behind the magnets")]


def _workshop_tables(brief: Brief) -> Iterator[tuple[str, list[Row]]]:
    """What the search does not need but the build pack does."""
    if brief.bed is not None:
        sides = [decimal_of(side, milli=True) for side in brief.bed]
        yield "[printer]", [("bed_mm", sides, "width and depth that parts are printed on")]
    if brief.prices is not None:
        yield "[prices]", keyed_rows(brief.prices)


def _space_rows(brief: Brief) -> list[Row]:
    return [
        length_row("outer_diameter_mm", brief.space.outer_diameter, "of the carrier disc"),
        length_row("bore_diameter_mm", brief.space.bore_diameter, "kept clear for shaft and bearing"),
        length_row("wall_mm", brief.space.wall, "least material around each magnet pocket"),
        length_row("air_gap_mm", brief.air_gap, "magnet face to insulated copper, any cover included"),
        length_row("coil_height_mm", brief.coil_height, "the most the winding may take along the shaft"),
    ]


def _wire_rows(brief: Brief) -> list[Row]:
    length, resistance = (None if most is None else decimal_of(most) for most in (brief.length, brief.resistance))
    return [
        *size_rows(brief.sold),
        ("strands", None if brief.strands == (1,) else [Decimal(n) for n in brief.strands], "wires in hand to try"),
        ("length_m", length, "at hand, all phases together"),
        ("resistance_ohm", resistance, "the most one phase may have"),
        ("fill_factor", decimal_of(brief.fill_factor), "most of its section that insulated wire may take"),
        length_row("peg_diameter_mm", 2 * brief.peg_radius, "least peg of the winding former"),
    ]
