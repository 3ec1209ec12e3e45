"""The rig file: mechanism, operator, gears, flywheel, bearings, charge. What was written reads as the equal rig."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import Annotated

from geometry.files.key_tables import (
    Earlier,
    Table,
    key,
    listed,
    presence,
    refuse,
    refuse_table,
    rule,
    text,
    with_keys,
)  # fmt: skip
from geometry.files.reading import read_back, read_text, table_from_text
from geometry.files.schema import keyed_rows, table_of
from geometry.files.values import shown
from geometry.files.writing import toml_text
from geometry.machine.layout_file import millimetres
from optimizer.loads.load_file import LoadTable, load_of, load_rows
from optimizer.rigs.mechanisms import MECHANISMS
from optimizer.rigs.operator import Operator
from optimizer.rigs.rig import SEALED, Bearings, Charge, Flywheel, GearStage, Rig

HEADING = "A rig: the hand and what it turns a generator with. Keys that end in _mm are millimetres."


class MechanismTable(
    with_keys(
        Table,
        {name: (table_of(kind) | None, key(name, None, label=kind.LABEL)) for name, kind in MECHANISMS.items()},
    )
):
    """[mechanism]: exactly one of its tables."""

    @property
    def given(self) -> dict[str, Table]:
        """The tables that are there, by name."""
        return {name: table for name in MECHANISMS if (table := getattr(self, name)) is not None}


class OperatorTable(table_of(Operator)):
    """[mover]"""


class GearTable(table_of(GearStage)):
    """[[gears]]"""


GearTables = Annotated[list[GearTable], listed("[[gears]] tables", distinct=False)]


class FlywheelTable(table_of(Flywheel)):
    """[flywheel]: inertia, or mass and shape."""

    @rule("outer_diameter")
    @classmethod
    def _enough(cls, outer: float | None, earlier: Earlier) -> float | None:
        if earlier.data.get("inertia_given", "a wrong one") is None and "mass" in earlier.data:
            if earlier.data["mass"] is None:
                refuse_table("inertia_kg_m2, or mass_kg and outer_diameter_mm, must be given, was missing")
            if outer is None:
                refuse_table("outer_diameter_mm must be given with mass_kg, was missing")
        return outer

    @presence("inner_diameter")
    @staticmethod
    def _of_a_ring(inner: object, earlier: Earlier) -> None:
        shape, outer = earlier.data.get("shape"), earlier.data.get("outer_diameter")
        if inner is None:
            if shape == "ring" and outer is not None and earlier.data.get("inertia_given") is None:
                refuse_table("inner_diameter_mm must be given for a ring, was missing")
        elif shape == "disc":
            refuse("be left out for a disc", shown(inner))

    @rule("inner_diameter")
    @classmethod
    def _inside(cls, inner: float | None, earlier: Earlier) -> float | None:
        outer = earlier.data.get("outer_diameter")
        if inner is not None and outer is not None and inner >= outer:
            refuse(f"be less than outer_diameter_mm ({millimetres(outer)})", millimetres(inner))
        return inner


class BearingTable(table_of(Bearings)):
    """[bearings]"""

    @presence("seals")
    @staticmethod
    def _of_what_can_be_sealed(seals: object, earlier: Earlier) -> None:
        kind = earlier.data.get("kind", SEALED)
        if seals is not None and kind != SEALED:
            refuse(f'be left out for kind "{kind}": only "{SEALED}" is sold with them', shown(seals))


class ChargeTable(table_of(Charge)):
    """[charge]"""


class RigTable(Table):
    """The whole file."""

    title: Annotated[str, text()] = key("title", "Untitled", meaning="for the answer", label="Name")
    mechanism: MechanismTable = key("mechanism")
    operator: OperatorTable = key("mover")
    gears: GearTables | None = key("gears", None)
    flywheel: FlywheelTable | None = key("flywheel", None)
    bearings: BearingTable = key("bearings", BearingTable())
    charge: ChargeTable | None = key("charge", None)
    load: LoadTable | None = key("load", None, meaning="what the machine feeds: the table of a load file")

    @rule("mechanism")
    @classmethod
    def _exactly_one(cls, mechanism: MechanismTable) -> MechanismTable:
        if len(mechanism.given) != 1:
            *most, last = MECHANISMS
            was = " and ".join(mechanism.given) or "none of them"
            refuse(f"hold exactly one of the tables {', '.join(most)} and {last}", was)
        return mechanism

    @rule("flywheel")
    @classmethod
    def _on_a_shaft(cls, wheel: FlywheelTable | None, earlier: Earlier) -> FlywheelTable | None:
        stages = len(earlier.data.get("gears") or [])
        after = getattr(wheel, "after_stage", None) or 0
        if "gears" in earlier.data and after > stages:
            known = f"at most {stages} (the number of gear stages)" if stages else "0 (there are no gears)"
            refuse(f"have an after_stage of {known}", str(after))
        return wheel


def read_rig(path: str | os.PathLike[str]) -> Rig:
    """The rig of a file. Raises FileFaults with every fault in it."""
    return rig_from_text(read_text(path), os.fspath(path))


def rig_from_text(text: str, name: str) -> Rig:
    """The rig that `text` holds; `name` stands for the file in messages. Raises FileFaults."""
    table = table_from_text(text, name, RigTable)
    ((mechanism, measures),) = table.mechanism.given.items()
    wheel, charge = table.flywheel, table.charge
    return Rig(
        title=table.title,
        mechanism=MECHANISMS[mechanism](**measures.model_dump()),
        operator=Operator(**table.operator.model_dump()),
        gears=gear_stages(table.gears),
        flywheel=Flywheel(**wheel.model_dump()) if wheel else None,
        bearings=Bearings(**table.bearings.model_dump()),
        charge=Charge(**charge.model_dump()) if charge else None,
        load=load_of(table.load) if table.load else None,
    )


def gear_stages(tables: Sequence[GearTable] | None) -> tuple[GearStage, ...]:
    """The stages of a file's [[gears]]."""
    return tuple(GearStage(**stage.model_dump()) for stage in tables or ())


def rig_text(rig: Rig) -> str:
    """The file of a rig, with comments; the exact inverse of `rig_from_text`.

    Raises ValueError for a rig that the file could not give back: a value beyond the file's limits.
    """
    mechanism = next(name for name, kind in MECHANISMS.items() if type(rig.mechanism) is kind)
    tables = [
        (header, keyed_rows(value))
        for header, value in (
            (f"[mechanism.{mechanism}]", rig.mechanism),
            ("[mover]", rig.operator),
            *(("[[gears]]", stage) for stage in rig.gears),
            ("[flywheel]", rig.flywheel),
            ("[bearings]", rig.bearings),
            ("[charge]", rig.charge),
        )
        if value is not None
    ]
    if rig.load is not None:
        tables.append(("[load]", load_rows(rig.load)))
    written = toml_text(HEADING, [("title", rig.title, "")], [("[mechanism]", []), *tables])
    if read_back(written, "rig", rig_from_text) != rig:
        raise ValueError(
            "this rig cannot be written to a file: it holds values that its other values make idle"
        )
    return written
