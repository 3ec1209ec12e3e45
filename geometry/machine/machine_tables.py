"""The tables that a brief and a layout share: space, rotor, magnet, wire size."""

from __future__ import annotations

from typing import Annotated, TypeAlias

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
    rule,
    whole,
    with_keys,
)
from geometry.files.keyed import file_keys, keyed_rows, keyed_values, table_of
from geometry.files.values import decimal_of, number_text, shown
from geometry.files.writing import Row
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
    Space,
)
from geometry.stock.magnet import GRADES, Magnet
from geometry.stock.magnet_shapes import SHAPES
from geometry.stock.wire import MOST_MM

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
        "grade", None, "a trade grade; its least guaranteed remanence is used", usual="this or `remanence_T`"
    )
    remanence: Annotated[float | None, quantity(minimum="0.05", maximum="1.6", hint="is the unit tesla?")] = (
        key("remanence_T", None, meaning="in place of a grade", usual="this or `grade`")
    )
    recoil_permeability: Annotated[float | None, quantity(minimum="1", maximum="10")] = key(
        "recoil_permeability", None, meaning="relative", usual="of the grade, else 1.05"
    )
    temperature: Temperature = key("temperature_C", 20, meaning="of the magnet in use")

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

    @presence("remanence")
    @staticmethod
    def _exactly_one(remanence: object, earlier: Earlier) -> None:
        graded = earlier.data.get("grade", "not a known one") is not None
        if remanence is None and not graded:
            refuse_table("grade or remanence_T must be given, was missing")
        if remanence is not None and graded:
            refuse("be left out when grade is given", shown(remanence))


def magnet_of(table: MagnetTable) -> Magnet:
    """The magnet of a valid table."""
    row = GRADES[table.grade] if table.grade else None
    remanence = row.remanence if row else table.remanence
    assert remanence is not None
    recoil = table.recoil_permeability or (row.recoil_permeability if row else 1.05)
    kind = SHAPES[table.shape]
    return kind(
        **keyed_values(kind, table), thickness=table.thickness, remanence=remanence, grade=table.grade,
        recoil_permeability=recoil, temperature=table.temperature,
    )  # fmt: skip


def magnet_rows(magnet: Magnet) -> list[Row]:
    """The magnet as a file states it. Raises ValueError when its remanence is not that of its grade."""
    row = GRADES.get(magnet.grade) if magnet.grade else None
    if magnet.grade and (row is None or row.remanence != magnet.remanence):
        known = f"{row.remanence:g} T" if row else "unknown"
        must = f"remanence must be that of grade {magnet.grade} ({known})"
        raise ValueError(f"{must}, was {magnet.remanence:g} T")
    usual = row is not None and row.recoil_permeability == magnet.recoil_permeability
    remanence = None if magnet.grade else decimal_of(magnet.remanence)
    recoil = None if usual else decimal_of(magnet.recoil_permeability)
    warm = None if magnet.temperature == 20 else decimal_of(magnet.temperature)
    return [
        ("shape", magnet.shape, ""),
        *keyed_rows(magnet),
        ("thickness_mm", decimal_of(magnet.thickness, milli=True), "along the shaft; magnetized this way"),
        ("grade", magnet.grade, "or remanence_T, in tesla, in its place"),
        ("remanence_T", remanence, "tesla; or a grade in its place"),
        ("recoil_permeability", recoil, "relative"),
        ("temperature_C", warm, "of the magnet in use"),
    ]


def millimetres(length: float) -> str:
    """A length in m, written in mm."""
    return number_text(decimal_of(length, milli=True))
