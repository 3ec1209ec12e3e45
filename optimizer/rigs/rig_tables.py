"""The tables of a rig file: what its classes declare (see `rig`), and rules between keys."""

from __future__ import annotations

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
from geometry.files.keyed import table_of
from geometry.files.values import shown
from geometry.machine.machine_tables import millimetres
from optimizer.loads.load_file import LoadTable
from optimizer.rigs.mechanisms import MECHANISMS
from optimizer.rigs.operator import Operator
from optimizer.rigs.rig import SEALED, Bearings, Charge, Flywheel, GearStage


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
