"""The layout file: one machine as TOML. Reading what was written gives the equal layout back."""

from __future__ import annotations

import os
from typing import Annotated

from geometry.coils.topology import TOPOLOGIES
from geometry.files.faults import line_of
from geometry.files.key_tables import Earlier, Table, key, presence, refuse, rule, text
from geometry.files.keyed import keyed_rows, keyed_values, table_of
from geometry.files.reading import Fault, FileFaults, read_back, read_text, table_from_text
from geometry.files.values import shown
from geometry.files.writing import Row, length_row, toml_text
from geometry.machine.layout import Carrier, Layout, Space, Winding
from geometry.machine.machine_tables import (
    EnamelGrade,
    MagnetTable,
    RotorTable,
    SpaceTable,
    WireSize,
    magnet_of,
    magnet_rows,
    millimetres,
)
from geometry.stock.wire import Wire

HEADING = "One machine: all that is needed to build it and to work out what it does. Lengths in millimetres."


class _Carrier(table_of(Carrier, "count", "pitch_radius", base=RotorTable)):
    magnet: MagnetTable = key("magnet")


class _Wire(Table):
    diameter: WireSize = key("diameter_mm", meaning="bare copper", label="Wire, bare copper")
    enamel_grade: EnamelGrade = key("enamel_grade", meaning="2 for the thicker enamel")


class _Winding(table_of(Winding)):
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


class _Operation(table_of(Layout)):
    pass


class LayoutTable(Table):
    """The whole file."""

    title: Annotated[str, text()] = key("title", "Untitled", meaning="for its drawing and report")
    space: SpaceTable = key("space")
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
    carrier, wire = table.carrier, table.winding.wire
    return Layout(
        title=table.title,
        space=Space(**keyed_values(Space, table.space)),
        carrier=Carrier(magnet=magnet_of(carrier.magnet), **keyed_values(Carrier, carrier)),
        winding=Winding(
            wire=Wire(diameter=wire.diameter, grade=wire.enamel_grade), **keyed_values(Winding, table.winding)
        ),
        **keyed_values(Layout, table.operation),
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
            ("[space]", keyed_rows(layout.space)),
            ("[carrier]", keyed_rows(layout.carrier, usual=False)),
            ("[carrier.magnet]", magnet_rows(layout.carrier.magnet)),
            ("[winding]", keyed_rows(layout.winding, usual=False)),
            ("[winding.wire]", _wire_rows(layout.winding.wire)),
            ("[operation]", keyed_rows(layout)),
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


def _wire_rows(wire: Wire) -> list[Row]:
    return [
        length_row("diameter_mm", wire.diameter, "bare copper, from 0.05 to 3"),
        ("enamel_grade", int(wire.grade), "1 or 2, 2 being the thicker enamel"),
    ]
