"""The layout file: one machine as TOML. Reading what was written gives the equal layout back."""

from __future__ import annotations

import os
from typing import Annotated

from geometry.coils.topology import TOPOLOGIES
from geometry.files.key_tables import Earlier, Table, choice, key, presence, refuse, rule, text, whole
from geometry.files.lines import line_of
from geometry.files.reading import Fault, FileFaults, read_back, read_text, table_from_text
from geometry.files.values import decimal_of, shown
from geometry.files.writing import Row, length_row, toml_text
from geometry.machine.layout import CONNECTIONS, STACKINGS, Carrier, Layout, Space, Winding
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
    magnet_rows,
    millimetres,
)
from geometry.stock.wire import Wire

HEADING = "One machine: all that is needed to build it and to work out what it does. Lengths in millimetres."


class _Space(SpaceTable):
    wall: Wall = key(
        "wall_mm", meaning="least material around each magnet pocket", label="Wall around magnets"
    )


class _Carrier(RotorTable):
    count: Annotated[int, whole(minimum=2, maximum=1000, even=True)] = key(
        "count", meaning="magnets, north and south in turn", label="Number of magnets"
    )
    pitch_radius: Size = key("pitch_radius_mm", meaning="from the shaft to the middle of each magnet")
    magnet: MagnetTable = key("magnet")


class _Wire(Table):
    diameter: WireSize = key("diameter_mm", meaning="bare copper", label="Wire, bare copper")
    enamel_grade: EnamelGrade = key("enamel_grade", meaning="2 for the thicker enamel")


class _Winding(Table):
    topology: Annotated[str, choice(TOPOLOGIES)] = key(
        "topology", meaning="shape of the coils", label="Coil shape"
    )
    inner_radius: Size = key("inner_radius_mm", meaning="from the shaft to the bundle's nearest insulation")
    outer_radius: Size = key("outer_radius_mm", meaning="from the shaft to the bundle's farthest insulation")
    width: Size = key(
        "width_mm", meaning="of the bundle's section, seen along the shaft", label="Bundle width"
    )
    height: Height = key(
        "height_mm", meaning="of the bundle's section, along the shaft", label="Bundle height"
    )
    turns: Annotated[int, whole(minimum=1, maximum=100_000)] = key(
        "turns", meaning="of each coil", label="Turns per coil"
    )
    peg_diameter: Peg = key("peg_diameter_mm", meaning="least diameter of the corners of the winding former")
    fill_factor: FillFactor = key(
        "fill_factor", meaning="most of the bundle's section that insulated wire may take",
        label="Fill factor, at most",
    )  # fmt: skip
    phases: Phases = key("phases", 1, meaning="1 or 3")
    coils: Annotated[int | None, whole(minimum=2, maximum=1000)] = key(
        "coils", None, "around one side, of all phases together; not of a serpentine", "Coils, of all phases",
        usual="as many as magnets",
    )  # fmt: skip
    stacking: Annotated[str, choice(STACKINGS)] = key(
        "stacking", STACKINGS[0], "of three serpentines: one above another, or in halves A B C C B A",
        "Bundles stacked",
    )  # fmt: skip
    connection: Annotated[str, choice(CONNECTIONS)] = key(
        "connection", CONNECTIONS[0], meaning="of three phases"
    )
    wire: _Wire = key("wire")

    @rule("phases")
    @classmethod
    def _one_or_three(cls, phases: int) -> int:
        if phases == 2:
            refuse("be 1 or 3", "2")
        return phases

    @presence("coils")
    @staticmethod
    def _evenly(coils: object, earlier: Earlier) -> None:
        topology = earlier.data.get("topology")
        if coils is not None and topology is not None and not TOPOLOGIES[topology].concentrated:
            refuse(f"be left out for a {topology} winding", shown(coils))

    @rule("outer_radius")
    @classmethod
    def _outside(cls, outer: float, earlier: Earlier) -> float:
        inner = earlier.data.get("inner_radius")
        if inner is not None and outer <= inner:
            refuse(f"be more than inner_radius_mm ({millimetres(inner)})", millimetres(outer))
        return outer


class _Operation(Table):
    air_gap: AirGap = key("air_gap_mm", meaning="magnet face to insulated copper, any cover included")
    speed_rpm: Speed = key("speed_rpm", meaning="of the magnets past the coil")


class LayoutTable(Table):
    """The whole file."""

    title: Annotated[str, text()] = key("title", "Untitled", meaning="for its drawing and report")
    space: _Space = key("space")
    carrier: _Carrier = key("carrier")
    winding: _Winding = key("winding")
    operation: _Operation = key("operation")


def read_layout(path: str | os.PathLike[str]) -> Layout:
    """The layout of a file. Raises FileFaults with every fault in it; whether it fits is not judged here."""
    return layout_from_text(read_text(path), os.fspath(path))


def layout_from_text(text: str, name: str) -> Layout:
    """The layout that `text` holds; `name` stands for the file in messages. Raises FileFaults."""
    table = table_from_text(text, name, LayoutTable)
    _require_balance(table, text, name)
    _require_place(table, text, name)
    return Layout(
        title=table.title,
        space=Space(
            outer_diameter=table.space.outer_diameter,
            bore_diameter=table.space.bore_diameter,
            wall=table.space.wall,
        ),
        carrier=Carrier(
            magnet=magnet_of(table.carrier.magnet),
            count=table.carrier.count,
            pitch_radius=table.carrier.pitch_radius,
            arrangement=table.carrier.arrangement,
            plate=table.carrier.plate,
        ),
        winding=_winding_of(table.winding),
        air_gap=table.operation.air_gap,
        speed_rpm=table.operation.speed_rpm,
    )


def layout_text(layout: Layout) -> str:
    """The file of a layout, with comments; the exact inverse of `layout_from_text`.

    Raises ValueError for a layout that the file could not give back: a value beyond the file's limits, or a
    remanence that is not its grade's.
    """
    written = toml_text(
        HEADING,
        [("title", layout.title, "")],
        [
            ("[space]", _space_rows(layout.space)),
            ("[carrier]", _carrier_rows(layout.carrier)),
            ("[carrier.magnet]", magnet_rows(layout.carrier.magnet)),
            ("[winding]", _winding_rows(layout.winding)),
            ("[winding.wire]", _wire_rows(layout.winding.wire)),
            ("[operation]", _operation_rows(layout)),
        ],
    )
    read_back(written, "layout", layout_from_text)
    return written


def _require_balance(table: LayoutTable, text: str, name: str) -> None:
    """Raise FileFaults when the coils and poles cannot be connected in the phases asked for."""
    winding, poles = table.winding, table.carrier.count
    try:
        TOPOLOGIES[winding.topology].joined(winding.coils or poles, poles, winding.phases)
    except ValueError as error:
        asked = "winding.coils" if winding.coils else "winding.phases"
        raise FileFaults((Fault(name, line_of(text, asked), asked, str(error)),)) from error


def _require_place(table: LayoutTable, text: str, name: str) -> None:
    """Raise FileFaults when arcs are to stand anywhere but at their own radii."""
    asked = table.carrier.pitch_radius
    own = magnet_of(table.carrier.magnet).placed(asked)
    if abs(own - asked) > 1e-9:
        key = "carrier.pitch_radius_mm"
        must = f"must be midway between the arcs' radii ({millimetres(own)})"
        raise FileFaults((Fault(name, line_of(text, key), key, f"{must}, was {millimetres(asked)}"),))


def _winding_of(table: _Winding) -> Winding:
    return Winding(
        topology=table.topology,
        inner_radius=table.inner_radius,
        outer_radius=table.outer_radius,
        width=table.width,
        height=table.height,
        turns=table.turns,
        wire=Wire(diameter=table.wire.diameter, grade=table.wire.enamel_grade),
        peg_radius=table.peg_diameter / 2,
        fill_factor=table.fill_factor,
        phases=table.phases,
        coils=table.coils,
        stacking=table.stacking,
        connection=table.connection,
    )


def _unless(value: str, usual: str) -> str | None:
    return None if value == usual else value


def _space_rows(space: Space) -> list[Row]:
    return [
        length_row(
            "outer_diameter_mm", space.outer_diameter, "of the carrier disc; the winding stays within"
        ),
        length_row("bore_diameter_mm", space.bore_diameter, "kept clear for shaft and bearing"),
        length_row("wall_mm", space.wall, "least material around each magnet pocket"),
    ]


def _carrier_rows(carrier: Carrier) -> list[Row]:
    return [
        ("count", int(carrier.count), "magnets, north and south in turn"),
        length_row("pitch_radius_mm", carrier.pitch_radius, "from the shaft to the middle of each magnet"),
        ("arrangement", _unless(carrier.arrangement, "single"), "single, facing or two-sided"),
        (
            "plate_mm",
            decimal_of(carrier.plate, milli=True) if carrier.plate else None,
            "steel behind the magnets",
        ),
    ]


def _winding_rows(winding: Winding) -> list[Row]:
    return [
        ("topology", winding.topology, f"one of {', '.join(TOPOLOGIES)}"),
        length_row("inner_radius_mm", winding.inner_radius, "from the shaft to the innermost insulation"),
        length_row("outer_radius_mm", winding.outer_radius, "from the shaft to the outermost insulation"),
        length_row("width_mm", winding.width, "of the bundle, seen along the shaft"),
        length_row("height_mm", winding.height, "of the bundle, along the shaft"),
        ("turns", int(winding.turns), "in each coil"),
        length_row("peg_diameter_mm", 2 * winding.peg_radius, "least corner of the winding former"),
        ("fill_factor", decimal_of(winding.fill_factor), "most of its section that insulated wire may take"),
        ("phases", winding.phases if winding.phases > 1 else None, "1 or 3"),
        ("coils", winding.coils, "of all phases together, evenly around the shaft"),
        ("stacking", _unless(winding.stacking, "layered"), "of a three-phase serpentine's bundles"),
        ("connection", _unless(winding.connection, "star"), "star or delta"),
    ]


def _wire_rows(wire: Wire) -> list[Row]:
    return [
        length_row("diameter_mm", wire.diameter, "bare copper, from 0.05 to 3"),
        ("enamel_grade", int(wire.grade), "1 or 2, 2 being the thicker enamel"),
    ]


def _operation_rows(layout: Layout) -> list[Row]:
    return [
        length_row("air_gap_mm", layout.air_gap, "magnet face to insulated copper, any cover included"),
        ("speed_rpm", decimal_of(layout.speed_rpm), "turns of the disc in a minute"),
    ]
