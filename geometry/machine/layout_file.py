"""The layout file: one machine as TOML, from tables of which a brief shares some. What was written reads back equal."""

from __future__ import annotations

import os
from dataclasses import replace
from typing import Annotated, TypeAlias

from geometry.coils.topology import TOPOLOGIES
from geometry.files.faults import line_of
from geometry.files.key_tables import (
    Earlier,
    Table,
    choice,
    key,
    presence,
    quantity,
    refuse,
    refuse_missing,
    refuse_table,
    require_one,
    rule,
    text,
    whole,
    with_keys,
)
from geometry.files.reading import Fault, FileFaults, read_back, read_text, table_from_text
from geometry.files.schema import file_keys, keyed_rows, keyed_values, table_of
from geometry.files.values import decimal_of, number_text, shown
from geometry.files.writing import Row, length_row, toml_text
from geometry.machine.layout import (
    AIR_GAP,
    FILL_FACTOR,
    HEIGHT,
    PEG,
    PHASES,
    SIZE,
    SPEED,
    WALL,
    Carrier,
    Layout,
    Space,
    Winding,
)
from geometry.stock.magnet import GRADES, Magnet
from geometry.stock.magnet_shapes import SHAPES
from geometry.stock.pull import pull_on_steel, remanence_of_pull
from geometry.stock.wire import AWG, MOST_MM, Wire

Size: TypeAlias = Annotated[float, SIZE]
AirGap: TypeAlias = Annotated[float, AIR_GAP]
Height: TypeAlias = Annotated[float, HEIGHT]
Peg: TypeAlias = Annotated[float, PEG]
Wall: TypeAlias = Annotated[float, WALL]
FillFactor: TypeAlias = Annotated[float, FILL_FACTOR]
Speed: TypeAlias = Annotated[float, SPEED]
Temperature: TypeAlias = Annotated[float, quantity(minimum="-60", maximum="300", hint="is it in °C?")]
Phases: TypeAlias = Annotated[int, PHASES]
EnamelGrade: TypeAlias = Annotated[int, whole(minimum=1, maximum=2)]
WireSize: TypeAlias = Annotated[float, quantity(minimum="0.05", maximum=f"{MOST_MM:g}", milli=True)]
Strands: TypeAlias = Annotated[int, whole(minimum=1, maximum=50)]
Gauge: TypeAlias = Annotated[int, whole(minimum=9, maximum=44, hint="AWG 9 is 2.91 mm, AWG 44 is 0.0502 mm")]
USUAL_RECOIL = 1.05  # relative permeability of a magnet whose grade does not say
SIZES = {name: own for kind in SHAPES.values() for name, own in file_keys(kind).items()}
"""What files say of every magnet shape's sizes, by their fields."""


class SpaceTable(table_of(Space)):
    """The annulus."""

    @rule("bore_diameter")
    @classmethod
    def _inside(cls, bore: float, earlier: Earlier) -> float:
        outer = earlier.data.get("outer_diameter")
        if outer is not None and bore >= outer:
            refuse(f"be less than outer_diameter_mm ({millimetres(outer)})", millimetres(bore))
        return bore


class RotorTable(table_of(Carrier, "arrangement", "plate")):
    """How carriers stand about the winding, and the steel behind their magnets."""

    @rule("plate")
    @classmethod
    def _behind(cls, plate: float, earlier: Earlier) -> float:
        if plate and earlier.data.get("arrangement") == "two-sided":
            refuse('be 0 with arrangement = "two-sided"', millimetres(plate))
        return plate


class _ShapeTable(Table):
    shape: Annotated[str, choice(SHAPES)] = key("shape", "disc", meaning="of its face")


class MagnetTable(
    with_keys(_ShapeTable, {name: (own.check, key(own.name, None, **own.words)) for name, own in SIZES.items()})
):
    """One magnet: its shape with the sizes that belong to it, and its grade or its remanence."""

    USUAL = ("diameter_mm",)

    thickness: Size = key("thickness_mm", meaning="along the shaft; magnetized this way")
    grade: Annotated[str | None, choice(GRADES)] = key(
        "grade", None, 'a trade grade; its least guaranteed remanence is used; `"unknown"` counts as the weakest '
        "neodymium sold, with the range told", usual="this, `remanence_T` or `pull_N`"
    )
    remanence: Annotated[float | None, quantity(minimum="0.05", maximum="1.6", hint="is the unit tesla?")] = (
        key("remanence_T", None, meaning="in place of a grade", usual="this, `grade` or `pull_N`")
    )
    recoil_permeability: Annotated[float | None, quantity(minimum="1", maximum="10")] = key(
        "recoil_permeability", None, meaning="relative", usual="of the grade, else 1.05"
    )
    temperature: Temperature = key("temperature_C", 20, meaning="of the magnet in use")

    pull: Annotated[float | None, quantity(positive=True, maximum="100000")] = key(
        "pull_N", None, "measured: what lifts one magnet off thick bare steel; gives the remanence", "Pull off steel",
        usual="this, `grade` or `remanence_T`",
    )  # fmt: skip

    @presence(*SIZES)
    @staticmethod
    def _of_its_shape(size: object, earlier: Earlier) -> None:
        shape, name = earlier.data.get("shape"), str(earlier.field_name)
        if shape is None:
            return
        sizes = file_keys(SHAPES[shape])
        if name not in sizes and size is not None:
            named = " and ".join(own.name for own in sizes.values())
            refuse(f'be left out for shape = "{shape}" (its sizes: {named})', shown(size))
        if name in sizes and size is None:
            refuse_missing()

    @rule(*SIZES)
    @classmethod
    def _nested(cls, size: float | None, earlier: Earlier) -> float | None:
        """A hole is smaller than what is around it."""
        for kind in SHAPES.values():
            small, large = kind.NESTED or ("", "")
            other = earlier.data.get(large if earlier.field_name == small else small)
            if earlier.field_name == small and size and other and size >= other:
                refuse(f"be less than {SIZES[large].name} ({millimetres(other)})", millimetres(size))
            if earlier.field_name == large and size and other and size <= other:
                refuse(f"be more than {SIZES[small].name} ({millimetres(other)})", millimetres(size))
        return size

    @presence("remanence", "pull")
    @staticmethod
    def _exactly_one(value: object, earlier: Earlier) -> None:
        for name, other in (("grade", "grade"), ("remanence", "remanence_T")):
            if name != earlier.field_name:
                require_one(value, "", earlier.data.get(name), other, must=False)
        given = [earlier.data.get(name, "a wrong one") for name in ("grade", "remanence")]
        if earlier.field_name == "pull" and value is None and given == [None, None]:
            refuse_table("grade, remanence_T or pull_N must be given, was missing")

    @rule("pull")
    @classmethod
    def _possible(cls, pull: float | None, earlier: Earlier) -> float | None:
        """A pull that a magnet of this size can have: of at least 0.05 and at most 1.6 T, as `remanence_T` may be."""
        kind, known = SHAPES.get(earlier.data.get("shape", "")), earlier.data
        needed = ("thickness", "recoil_permeability", *(file_keys(kind) if kind else ()))
        if pull is None or kind is None or any(known.get(name, name) == name for name in needed):
            return pull
        magnet = kind(
            **{name: known[name] for name in file_keys(kind)}, thickness=known["thickness"], remanence=1.0,
            recoil_permeability=known["recoil_permeability"] or USUAL_RECOIL,
        )  # fmt: skip
        least, most = (pull_on_steel(magnet) * remanence**2 for remanence in (0.05, 1.6))
        if pull > most:
            refuse(f"be at most {most:.3g}, which a magnet of this size and 1.6 T has, more than any sold", f"{pull:g}")
        if pull < least:
            refuse(f"be at least {least:.3g}, which a magnet of this size and 0.05 T has", f"{pull:g}")
        return pull


def magnet_of(table: MagnetTable) -> Magnet:
    """The magnet of a valid table."""
    row = GRADES[table.grade] if table.grade else None
    remanence = row.remanence if row else table.remanence
    recoil = table.recoil_permeability or (row.recoil_permeability if row else USUAL_RECOIL)
    kind = SHAPES[table.shape]
    magnet = kind(
        **keyed_values(kind, table), thickness=table.thickness, remanence=remanence or 1.0, grade=table.grade,
        recoil_permeability=recoil, temperature=table.temperature,
    )  # fmt: skip
    if table.pull is None:
        return magnet
    return replace(magnet, remanence=remanence_of_pull(magnet, table.pull), pull=table.pull)


def magnet_rows(magnet: Magnet) -> list[Row]:
    """The magnet as a file states it. Raises ValueError when its remanence is not that of its grade."""
    row = GRADES.get(magnet.grade) if magnet.grade else None
    if magnet.grade and (row is None or row.remanence != magnet.remanence):
        known = f"{row.remanence:g} T" if row else "unknown"
        must = f"remanence must be that of grade {magnet.grade} ({known})"
        raise ValueError(f"{must}, was {magnet.remanence:g} T")
    usual = row is not None and row.recoil_permeability == magnet.recoil_permeability
    remanence = None if magnet.grade or magnet.pull else decimal_of(magnet.remanence)
    recoil = None if usual else decimal_of(magnet.recoil_permeability)
    warm = None if magnet.temperature == 20 else decimal_of(magnet.temperature)
    return [
        ("shape", magnet.shape, ""),
        *keyed_rows(magnet),
        ("thickness_mm", decimal_of(magnet.thickness, milli=True), "along the shaft; magnetized this way"),
        ("grade", magnet.grade, "or remanence_T, in tesla, in its place"),
        ("remanence_T", remanence, "tesla; or a grade in its place"),
        ("pull_N", None if magnet.pull is None else decimal_of(magnet.pull), "measured, off thick steel"),
        ("recoil_permeability", recoil, "relative"),
        ("temperature_C", warm, "of the magnet in use"),
    ]


def millimetres(length: float) -> str:
    """A length in m, written in mm."""
    return number_text(decimal_of(length, milli=True))


HEADING = "One machine: all that is needed to build it and to work out what it does. Lengths in millimetres."


class _Carrier(table_of(Carrier, "count", "pitch_radius", base=RotorTable)):
    magnet: MagnetTable = key("magnet")


class SizeTable(Table):
    """The size of a wire, by its bare copper or its American gauge."""

    USUAL = ("diameter_mm",)

    diameter: WireSize | None = key(
        "diameter_mm", None, "bare copper, any size", "Wire, bare copper", usual="this or `awg`"
    )
    gauge: Gauge | None = key("awg", None, "American wire gauge", "Wire, AWG", usual="this or `diameter_mm`")

    @presence("gauge")
    @staticmethod
    def _one_size(gauge: object, earlier: Earlier) -> None:
        require_one(gauge, "awg", earlier.data.get("diameter", "a wrong one"), "diameter_mm")

    @property
    def bare(self) -> float:
        """Bare diameter, m."""
        return AWG[self.gauge] if self.gauge is not None else self.diameter or 0.0


class _Wire(SizeTable):
    enamel_grade: EnamelGrade = key("enamel_grade", meaning="2 for the thicker enamel")
    strands: Strands = key("strands", 1, "wires side by side that make each turn together", "Strands in hand")


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
            wire=Wire(diameter=wire.bare, grade=wire.enamel_grade, strands=wire.strands),
            **keyed_values(Winding, table.winding)
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
    told = "from 0.05 to 3" if wire.gauge is None else f"AWG {wire.gauge}"
    return [
        length_row("diameter_mm", wire.diameter, f"bare copper, {told}"),
        ("enamel_grade", int(wire.grade), "1 or 2, 2 being the thicker enamel"),
        ("strands", wire.strands if wire.strands > 1 else None, "wires side by side that make each turn together"),
    ]
