"""The rig file: mechanism, mover, gears, flywheel, bearings, charge. Reading what was written gives the equal rig."""

from __future__ import annotations

import os
from collections.abc import Sequence

from geometry.files.reading import read_back, read_text, table_from_text
from geometry.files.writing import Row, length_row, plain_row, toml_text
from optimizer.loads.load_file import load_of, load_rows
from optimizer.rigs.mechanisms import Cord, Crank, Mechanism, Pump, Spin
from optimizer.rigs.operator import Operator
from optimizer.rigs.rig import SEALS, Bearings, Charge, Flywheel, GearStage, Rig
from optimizer.rigs.rig_tables import (
    CordTable,
    CrankTable,
    MechanismTable,
    PumpTable,
    RigTable,
    SpinTable,
)

HEADING = "A rig: the hand and what it turns a generator with. Keys that end in _mm are millimetres."


def read_rig(path: str | os.PathLike[str]) -> Rig:
    """The rig of a file. Raises FileFaults with every fault in it."""
    return rig_from_text(read_text(path), os.fspath(path))


def rig_from_text(text: str, name: str) -> Rig:
    """The rig that `text` holds; `name` stands for the file in messages. Raises FileFaults."""
    table = table_from_text(text, name, RigTable)
    wheel, charge = table.flywheel, table.charge
    return Rig(
        title=table.title,
        mechanism=_mechanism_of(table.mechanism),
        operator=Operator(**table.operator.model_dump()),
        gears=tuple(GearStage(**stage.model_dump()) for stage in table.gears or []),
        flywheel=Flywheel(**wheel.model_dump()) if wheel else None,
        bearings=Bearings(**table.bearings.model_dump()),
        charge=Charge(**charge.model_dump()) if charge else None,
        load=load_of(table.load) if table.load else None,
    )


def rig_text(rig: Rig) -> str:
    """The file of a rig, with comments; the exact inverse of `rig_from_text`.

    Raises ValueError for a rig that the file could not give back: a value beyond the file's limits.
    """
    name, rows = _mechanism_rows(rig.mechanism)
    stages = [("[[gears]]", _gear_rows(stage)) for stage in rig.gears]
    tables: list[tuple[str, Sequence[Row]]] = [
        ("[mechanism]", []),
        (f"[mechanism.{name}]", rows),
        ("[mover]", _operator_rows(rig.operator)),
        *stages,
    ]
    if rig.flywheel is not None:
        tables.append(("[flywheel]", _flywheel_rows(rig.flywheel)))
    tables.append(("[bearings]", _bearing_rows(rig.bearings)))
    if rig.charge is not None:
        tables.append(("[charge]", _charge_rows(rig.charge)))
    if rig.load is not None:
        tables.append(("[load]", load_rows(rig.load)))
    written = toml_text(HEADING, [("title", rig.title, "")], tables)
    if read_back(written, "rig", rig_from_text) != rig:
        raise ValueError(
            "this rig cannot be written to a file: it holds values that its other values make idle"
        )
    return written


def _mechanism_of(table: MechanismTable) -> Mechanism:
    match table.crank or table.cord or table.pump or table.spin:
        case CrankTable() as found:
            return Crank(**found.model_dump())
        case CordTable() as found:
            return Cord(**found.model_dump())
        case PumpTable() as found:
            return Pump(**found.model_dump())
        case SpinTable() as found:
            return Spin(**found.model_dump())
        case None:
            raise AssertionError("the table's own rule lets exactly one through")


def _mechanism_rows(mechanism: Mechanism) -> tuple[str, list[Row]]:
    match mechanism:
        case Crank():
            return "crank", [length_row("arm_mm", mechanism.arm, "from shaft to handle")]
        case Spin():
            return "spin", [
                length_row("radius_mm", mechanism.radius, "from shaft to where the hand takes hold"),
                length_row("stroke_mm", mechanism.stroke, "arc of one flick"),
            ]
        case Cord():
            return "cord", [
                length_row("drum_diameter_mm", mechanism.drum_diameter, ""),
                length_row("cord_diameter_mm", mechanism.cord_diameter, ""),
                length_row("stroke_mm", mechanism.stroke, "cord pulled at a time"),
                plain_row("efficiency", mechanism.efficiency, "of cord and drum"),
                *_return_rows(mechanism),
            ]
        case Pump():
            return "pump", [
                length_row("lead_mm", mechanism.lead, "along the bar for one turn of it"),
                length_row(
                    "contact_diameter_mm", mechanism.contact_diameter, "on which bar and follower touch"
                ),
                length_row("stroke_mm", mechanism.stroke, "of the handle"),
                plain_row("friction_coefficient", mechanism.friction_coefficient, "of bar and follower"),
                plain_row("friction_angle_deg", mechanism.friction_angle_deg, "of bar and follower"),
                *_return_rows(mechanism),
            ]


def _return_rows(mechanism: Cord | Pump) -> list[Row]:
    return [
        plain_row("return_force_N", mechanism.return_force, "of the spring that brings it back"),
        plain_row("take_up_deg", mechanism.take_up_deg, "turned before the one-way clutch bites"),
    ]


def _operator_rows(operator: Operator) -> list[Row]:
    return [
        plain_row("cadence_per_minute", operator.cadence_per_minute, "strokes, or turns of a crank"),
        plain_row("force_N", operator.force, "most that the hand pushes with"),
        plain_row("top_speed_m_per_s", operator.top_speed, "of the hand, where no force is left"),
        ("force_curve", operator.curve, "linear or hill"),
        plain_row("lasting_power_W", operator.lasting_power, "mean, rests included"),
        plain_row("push_share", operator.push_share, "of a stroke's time that drives"),
        plain_row("work_s", operator.work, "spell of work"),
        plain_row("rest_s", operator.rest, "and of rest after it; 0 for none"),
    ]


def _gear_rows(stage: GearStage) -> list[Row]:
    return [
        ("driver_teeth", stage.driver_teeth, "of the wheel on the hand's side"),
        ("driven_teeth", stage.driven_teeth, "of the wheel on the rotor's side"),
        plain_row("efficiency", stage.efficiency, "of the mesh"),
    ]


def _flywheel_rows(wheel: Flywheel) -> list[Row]:
    return [
        plain_row("inertia_kg_m2", wheel.inertia_given, "or mass_kg, shape and sizes in its place"),
        plain_row("mass_kg", wheel.mass, ""),
        ("shape", wheel.shape, "disc or ring"),
        length_row("outer_diameter_mm", wheel.outer_diameter, ""),
        length_row("inner_diameter_mm", wheel.inner_diameter, "of a ring"),
        ("material", wheel.material, "for its strength"),
        ("after_stage", wheel.after_stage, "gear stages that drive it; left out: all"),
    ]


def _bearing_rows(bearings: Bearings) -> list[Row]:
    return [
        ("kind", bearings.kind, ""),
        length_row("bore_mm", bearings.bore, "of each shaft"),
        plain_row("load_N", bearings.load, "left out: the weight of what turns"),
        ("seals", bearings.seals, f"{', '.join(SEALS)}; left out: as bought"),
        plain_row("seal_torque_Nm", bearings.seal_torque, "of a whole shaft; left out: that of the seals"),
    ]


def _charge_rows(charge: Charge) -> list[Row]:
    return [
        plain_row("volts", charge.volts, "least direct voltage that is of use"),
        plain_row("energy_Wh", charge.energy_wh, "to be stored"),
        plain_row("capacity_mAh", charge.capacity_mah, "to be stored, at these volts"),
        plain_row("efficiency", charge.efficiency, "share of the energy put in that a cell keeps"),
    ]
