"""The tables that a brief and a layout share: space, rotor, magnet, wire size."""

from __future__ import annotations

from typing import Annotated, Any, TypeAlias

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
)
from geometry.files.values import decimal_of, number_text, shown
from geometry.files.writing import Row
from geometry.machine.arrangement import ARRANGEMENTS
from geometry.stock.grades import GRADES
from geometry.stock.magnet import Magnet, size_key
from geometry.stock.magnet_shapes import SHAPES
from geometry.stock.wire import MOST_MM

Size: TypeAlias = Annotated[float, quantity(minimum="0.1", maximum="2000", milli=True)]
AirGap: TypeAlias = Annotated[float, quantity(minimum="0.1", maximum="50", milli=True)]
Height: TypeAlias = Annotated[float, quantity(minimum="0.1", maximum="500", milli=True)]
Peg: TypeAlias = Annotated[float, quantity(minimum="0.1", maximum="200", milli=True)]
Wall: TypeAlias = Annotated[float, quantity(minimum="0", maximum="200", milli=True)]
FillFactor: TypeAlias = Annotated[
    float, quantity(positive=True, maximum="0.9", hint="a share, not a percentage")
]
Speed: TypeAlias = Annotated[float, quantity(minimum="1", maximum="20000")]
Plate: TypeAlias = Annotated[float, quantity(minimum="0", maximum="50", milli=True)]
Angle: TypeAlias = Annotated[float | None, quantity(minimum="0.1", maximum="179", hint="is it in degrees?")]
FaceSize: TypeAlias = Annotated[float | None, quantity(minimum="0.1", maximum="2000", milli=True)]
Temperature: TypeAlias = Annotated[float, quantity(minimum="-60", maximum="300", hint="is it in °C?")]
Phases: TypeAlias = Annotated[int, whole(minimum=1, maximum=3)]
EnamelGrade: TypeAlias = Annotated[int, whole(minimum=1, maximum=2)]


WireSize: TypeAlias = Annotated[float, quantity(minimum="0.05", maximum=f"{MOST_MM:g}", milli=True)]


class SpaceTable(Table):
    """Outer diameter and bore of the annulus."""

    outer_diameter: Size = key("outer_diameter_mm", meaning="largest diameter of disc and winding")
    bore_diameter: Size = key("bore_diameter_mm", meaning="kept clear for shaft and bearing")

    @rule("bore_diameter")
    @classmethod
    def _inside(cls, bore: float, earlier: Earlier) -> float:
        outer = earlier.data.get("outer_diameter")
        if outer is not None and bore >= outer:
            refuse(f"be less than outer_diameter_mm ({millimetres(outer)})", millimetres(bore))
        return bore


class RotorTable(Table):
    """How carriers stand about the winding, and the steel behind their magnets."""

    arrangement: Annotated[str, choice(ARRANGEMENTS)] = key(
        "arrangement", "single",
        'one carrier, two with the coil between (`"facing"`), or one with a coil on each side',
    )  # fmt: skip
    plate: Plate = key(
        "plate_mm", 0, "steel behind the magnets; every volt is the one to expect of it, thin or thick; 0 for none",
        "Steel plate",
    )  # fmt: skip

    @rule("plate")
    @classmethod
    def _behind(cls, plate: float, earlier: Earlier) -> float:
        if plate and earlier.data.get("arrangement") == "two-sided":
            refuse('be 0 with arrangement = "two-sided"', millimetres(plate))
        return plate


class MagnetTable(Table):
    """One magnet: its shape with the sizes that belong to it, and its grade or its remanence."""

    USUAL = ("diameter_mm",)

    shape: Annotated[str, choice(SHAPES)] = key("shape", "disc", meaning="of its face")
    diameter: FaceSize = key("diameter_mm", None, meaning="of a disc or ring", usual="required for its shape")
    bore: FaceSize = key("bore_mm", None, meaning="of a ring", label="Hole", usual="required for its shape")
    length: FaceSize = key(
        "length_mm", None, "of a block, along the radius", "Length, radial", usual="required for its shape"
    )
    width: FaceSize = key(
        "width_mm", None, "of a block, across the radius", "Width, across", usual="required for its shape"
    )
    inner_radius: FaceSize = key(
        "inner_radius_mm", None, meaning="of an arc, about the shaft", usual="required for its shape"
    )
    outer_radius: FaceSize = key(
        "outer_radius_mm", None, meaning="of an arc, about the shaft", usual="required for its shape"
    )
    angle_deg: Angle = key(
        "angle_deg", None, "of an arc, from edge to edge, seen from the shaft", usual="required for its shape"
    )
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

    @presence("diameter", "bore", "length", "width", "inner_radius", "outer_radius", "angle_deg")
    @staticmethod
    def _of_its_shape(size: object, earlier: Earlier) -> None:
        shape, name = earlier.data.get("shape"), str(earlier.field_name)
        if shape is None:
            return
        if name not in SHAPES[shape].SIZES and size is not None:
            named = " and ".join(size_key(other) for other in SHAPES[shape].SIZES)
            refuse(f'be left out for shape = "{shape}" (its sizes: {named})', shown(size))
        if name in SHAPES[shape].SIZES and size is None:
            refuse_missing()

    @rule("bore", "outer_radius")
    @classmethod
    def _around(cls, size: float | None, earlier: Earlier) -> float | None:
        _ordered(str(earlier.field_name), size, earlier)
        return size

    @presence("remanence")
    @staticmethod
    def _exactly_one(remanence: object, earlier: Earlier) -> None:
        graded = earlier.data.get("grade", "not a known one") is not None
        if remanence is None and not graded:
            refuse_table("grade or remanence_T must be given, was missing")
        if remanence is not None and graded:
            refuse("be left out when grade is given", shown(remanence))


def _ordered(name: str, size: float | None, earlier: Earlier) -> None:
    """A hole is smaller than what is around it."""
    diameter, inner = earlier.data.get("diameter"), earlier.data.get("inner_radius")
    if name == "bore" and size and diameter and size >= diameter:
        refuse(f"be less than diameter_mm ({millimetres(diameter)})", millimetres(size))
    if name == "outer_radius" and size and inner and size <= inner:
        refuse(f"be more than inner_radius_mm ({millimetres(inner)})", millimetres(size))


def magnet_of(table: MagnetTable) -> Magnet:
    """The magnet of a valid table."""
    row = GRADES[table.grade] if table.grade else None
    remanence = row.remanence if row else table.remanence
    assert remanence is not None
    recoil = table.recoil_permeability or (row.recoil_permeability if row else 1.05)
    kind = SHAPES[table.shape]
    sizes: dict[str, Any] = {name: getattr(table, name) for name in kind.SIZES}
    return kind(
        **sizes, thickness=table.thickness, remanence=remanence, grade=table.grade,
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
        *[_size_row(magnet, name) for name in magnet.SIZES],
        ("thickness_mm", decimal_of(magnet.thickness, milli=True), "along the shaft; magnetized this way"),
        ("grade", magnet.grade, "or remanence_T, in tesla, in its place"),
        ("remanence_T", remanence, "tesla; or a grade in its place"),
        ("recoil_permeability", recoil, "relative"),
        ("temperature_C", warm, "of the magnet in use"),
    ]


_SIZE_WORDS = {
    "bore": "of its hole",
    "length": "along the radius",
    "width": "across the radius",
    "inner_radius": "about the shaft",
    "outer_radius": "about the shaft",
    "angle_deg": "from edge to edge, seen from the shaft",
}


def _size_row(magnet: Magnet, name: str) -> Row:
    size = decimal_of(getattr(magnet, name), milli=not name.endswith("_deg"))
    return size_key(name), size, _SIZE_WORDS.get(name, "")


def millimetres(length: float) -> str:
    """A length in m, written in mm."""
    return number_text(decimal_of(length, milli=True))
