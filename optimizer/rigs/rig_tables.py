"""The tables of a rig file, each with the limits that its values must keep."""

from __future__ import annotations

from typing import Annotated, TypeAlias

from geometry.files.key_tables import (
    Earlier,
    Table,
    choice,
    key,
    listed,
    presence,
    quantity,
    refuse,
    refuse_table,
    rule,
    text,
    whole,
)
from geometry.files.values import shown
from geometry.machine.machine_tables import millimetres
from optimizer.loads.load_file import LoadTable
from optimizer.rigs.operator import CURVES, FORCE, LASTING_POWER, TOP_SPEED
from optimizer.rigs.rig import BEARINGS, MATERIALS, SEALED, SEALS, SHAPES

Length: TypeAlias = Annotated[float, quantity(minimum="0.1", maximum="5000", milli=True)]
SomeLength: TypeAlias = Annotated[float | None, quantity(minimum="0.1", maximum="5000", milli=True)]
Share: TypeAlias = Annotated[float, quantity(positive=True, maximum="1", hint="a share, not a percentage")]
Newtons: TypeAlias = Annotated[float, quantity(minimum="0", maximum="2000", hint="is the unit newton?")]
Degrees: TypeAlias = Annotated[float, quantity(minimum="0", maximum="36000")]
Teeth: TypeAlias = Annotated[int, whole(minimum=1, maximum=10_000)]


class CrankTable(Table):
    """[mechanism.crank]"""

    arm: Length = key("arm_mm", meaning="from shaft to handle", label="Shaft to handle", example="120")


class SpinTable(Table):
    """[mechanism.spin]"""

    radius: Length = key(
        "radius_mm", meaning="from shaft to where the hand takes hold", label="Shaft to fingers", example="40"
    )
    stroke: Length = key("stroke_mm", meaning="arc of one flick", label="Arc of one flick", example="80")


class CordTable(Table):
    """[mechanism.cord]"""

    drum_diameter: Length = key(
        "drum_diameter_mm", meaning="of the drum that the cord is pulled off", example="40"
    )
    cord_diameter: Length = key("cord_diameter_mm", 2, meaning="of the cord", example="2")
    stroke: Length = key(
        "stroke_mm", meaning="cord pulled at a time", label="Cord pulled at a time", example="500"
    )
    efficiency: Share = key(
        "efficiency", 0.95, meaning="of cord and drum", label="Efficiency of cord and drum", example="0.95"
    )
    return_force: Newtons = key(
        "return_force_N", 0, meaning="of the spring that brings it back", label="Force of the return spring"
    )
    take_up_deg: Degrees = key(
        "take_up_deg", 0, meaning="turned before the one-way clutch bites", label="Idle turn before it drives"
    )


class PumpTable(Table):
    """[mechanism.pump]"""

    lead: Length = key(
        "lead_mm",
        meaning="along the twisted bar for one turn of it",
        label="Travel for one turn of the bar",
        example="40",
    )
    contact_diameter: Length = key(
        "contact_diameter_mm",
        meaning="on which bar and slotted follower touch",
        label="Where bar and follower touch, diameter",
        example="12",
    )
    stroke: Length = key("stroke_mm", meaning="of the handle", label="Stroke of the handle", example="250")
    friction_coefficient: Annotated[float | None, quantity(minimum="0", maximum="5")] = key(
        "friction_coefficient",
        None,
        meaning="of bar and follower",
        label="Friction coefficient of bar and follower",
        usual="this or `friction_angle_deg`",
        example="0.15",
    )
    friction_angle_deg: Annotated[float | None, quantity(minimum="0", maximum="80")] = key(
        "friction_angle_deg",
        None,
        meaning="of bar and follower",
        label="or its friction angle",
        usual="this or `friction_coefficient`",
    )
    return_force: Newtons = key(
        "return_force_N", 0, meaning="of the spring that brings it back", label="Force of the return spring"
    )
    take_up_deg: Degrees = key(
        "take_up_deg", 0, meaning="turned before the one-way clutch bites", label="Idle turn before it drives"
    )

    @presence("friction_angle_deg")
    @staticmethod
    def _exactly_one(angle: object, earlier: Earlier) -> None:
        coefficient = earlier.data.get("friction_coefficient", "a wrong one")
        if angle is None and coefficient is None:
            refuse_table("friction_coefficient or friction_angle_deg must be given, was missing")
        if angle is not None and coefficient is not None:
            refuse("be left out when friction_coefficient is given", shown(angle))


class MechanismTable(Table):
    """[mechanism]: exactly one of the four."""

    crank: CrankTable | None = key("crank", None, label="a crank")
    cord: CordTable | None = key("cord", None, label="a pulled cord on a drum")
    pump: PumpTable | None = key("pump", None, label="a handle pushed down a twisted bar")
    spin: SpinTable | None = key("spin", None, label="a flick of the fingers")

    @rule("spin")
    @classmethod
    def _exactly_one(cls, spin: SpinTable | None, earlier: Earlier) -> SpinTable | None:
        if len(earlier.data) < 3:
            return spin  # one of the others is wrong, and given
        given = [name for name, table in {**earlier.data, "spin": spin}.items() if table is not None]
        if len(given) != 1:
            was = " and ".join(given) or "none of them"
            refuse_table(f"must hold exactly one of the tables crank, cord, pump and spin, was {was}")
        return spin


class OperatorTable(Table):
    """[mover]"""

    cadence_per_minute: Annotated[float, quantity(minimum="1", maximum="600")] = key(
        "cadence_per_minute",
        meaning="strokes, or turns of a crank, a minute",
        label="Strokes, or turns of a crank, a minute",
        unit="",
    )
    force: Annotated[float, quantity(positive=True, maximum="2000", hint="is the unit newton?")] = key(
        "force_N", FORCE, meaning="most that the hand pushes with", label="Most force"
    )
    top_speed: Annotated[float, quantity(minimum="0.01", maximum="20", hint="metres per second")] = key(
        "top_speed_m_per_s",
        TOP_SPEED,
        meaning="of the hand, where no force is left",
        label="Speed at which no force is left",
    )
    curve: Annotated[str, choice(CURVES)] = key(
        "force_curve", CURVES[0], meaning="how force falls with speed"
    )
    lasting_power: Annotated[float, quantity(minimum="0.1", maximum="1500", hint="is the unit watt?")] = key(
        "lasting_power_W", LASTING_POWER, meaning="mean, rests included"
    )
    push_share: Annotated[
        float, quantity(minimum="0.05", maximum="0.95", hint="a share, not a percentage")
    ] = key(
        "push_share",
        0.5,
        meaning="of a stroke's time that drives",
        label="Share of a stroke's time that drives",
    )
    work: Annotated[float, quantity(minimum="1", maximum="86400")] = key(
        "work_s", 30, meaning="spell of work"
    )
    rest: Annotated[float, quantity(minimum="0", maximum="86400")] = key(
        "rest_s", 0, meaning="and of rest after it; 0 for none"
    )


class GearTable(Table):
    """[[gears]]"""

    driver_teeth: Teeth = key(
        "driver_teeth", meaning="of the wheel on the hand's side", label="Teeth of the driver", example="60"
    )
    driven_teeth: Teeth = key(
        "driven_teeth", meaning="of the wheel on the rotor's side", label="Teeth of the driven", example="12"
    )
    efficiency: Share = key("efficiency", 0.97, meaning="of the mesh", example="0.97")


class FlywheelTable(Table):
    """[flywheel]: inertia, or mass and shape."""

    inertia_given: Annotated[float | None, quantity(positive=True, maximum="1000")] = key(
        "inertia_kg_m2",
        None,
        meaning="or `mass_kg`, shape and sizes in its place",
        label="Inertia",
        usual="this or `mass_kg`",
    )
    mass: Annotated[float | None, quantity(positive=True, maximum="1000")] = key(
        "mass_kg", None, meaning="with its sizes", usual="this or `inertia_kg_m2`"
    )
    shape: Annotated[str, choice(SHAPES)] = key("shape", SHAPES[0], meaning="of the wheel")
    outer_diameter: SomeLength = key(
        "outer_diameter_mm", None, meaning="of the wheel", usual="required with `mass_kg`"
    )
    inner_diameter: SomeLength = key(
        "inner_diameter_mm",
        None,
        meaning="of a ring",
        label="Inner diameter, of a ring",
        usual="required for a ring",
    )
    material: Annotated[str, choice(MATERIALS)] = key("material", "steel", meaning="for its strength")
    after_stage: Annotated[int | None, whole(minimum=0, maximum=100)] = key(
        "after_stage", None, meaning="gear stages that drive it", usual="all"
    )

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


class BearingTable(Table):
    """[bearings]"""

    kind: Annotated[str, choice(BEARINGS)] = key("kind", "deep-groove", meaning="of all bearings")
    bore: Annotated[float, quantity(minimum="0.1", maximum="500", milli=True)] = key(
        "bore_mm", 8, meaning="of each shaft", label="Bore of the shaft"
    )
    load: Annotated[float | None, quantity(minimum="0", maximum="100000")] = key(
        "load_N", None, meaning="that they carry", usual="the weight of what turns"
    )
    seals: Annotated[str | None, choice(SEALS)] = key(
        "seals", None, meaning="of deep-groove bearings", usual='`"contact"`, as bought'
    )
    seal_torque: Annotated[float | None, quantity(minimum="0", maximum="100")] = key(
        "seal_torque_Nm",
        None,
        meaning="of a whole shaft, in place of `seals` (of two sealed 608: 0.015)",
        label="Or torque of all seals of a shaft",
        usual="that of the seals",
    )

    @presence("seals")
    @staticmethod
    def _of_what_can_be_sealed(seals: object, earlier: Earlier) -> None:
        kind = earlier.data.get("kind", SEALED)
        if seals is not None and kind != SEALED:
            refuse(f'be left out for kind "{kind}": only "{SEALED}" is sold with them', shown(seals))

    @presence("seal_torque")
    @staticmethod
    def _said_once(torque: object, earlier: Earlier) -> None:
        if torque is not None and earlier.data.get("seals", "wrong ones") is not None:
            refuse("be left out when seals are given", shown(torque))


class ChargeTable(Table):
    """[charge]"""

    volts: Annotated[float, quantity(positive=True, maximum="1000")] = key(
        "volts", meaning="least direct voltage that is of use", label="Least volts of use", unit="V"
    )
    energy_wh: Annotated[float | None, quantity(positive=True, maximum="100000")] = key(
        "energy_Wh", None, meaning="to be stored; or `capacity_mAh`"
    )
    capacity_mah: Annotated[float | None, quantity(positive=True, maximum="10000000")] = key(
        "capacity_mAh", None, meaning="to be stored, at these volts"
    )
    efficiency: Share = key("efficiency", 0.85, meaning="share of the energy put in that a cell keeps")

    @presence("capacity_mah")
    @staticmethod
    def _at_most_one(capacity: object, earlier: Earlier) -> None:
        if capacity is not None and earlier.data.get("energy_wh", "a wrong one") is not None:
            refuse("be left out when energy_Wh is given", shown(capacity))


class RigTable(Table):
    """The whole file."""

    title: Annotated[str, text()] = key("title", "Untitled", meaning="for the answer", label="Name")
    mechanism: MechanismTable = key("mechanism")
    operator: OperatorTable = key("mover")
    gears: Annotated[list[GearTable], listed("[[gears]] tables", distinct=False)] | None = key("gears", None)
    flywheel: FlywheelTable | None = key("flywheel", None)
    bearings: BearingTable = key("bearings", BearingTable())
    charge: ChargeTable | None = key("charge", None)
    load: LoadTable | None = key("load", None, meaning="what the machine feeds: the table of a load file")

    @rule("flywheel")
    @classmethod
    def _on_a_shaft(cls, wheel: FlywheelTable | None, earlier: Earlier) -> FlywheelTable | None:
        stages = len(earlier.data.get("gears") or [])
        if wheel and "gears" in earlier.data and (wheel.after_stage or 0) > stages:
            known = (
                "0 (there are no gears)" if stages == 0 else f"at most {stages} (the number of gear stages)"
            )
            refuse(f"have an after_stage of {known}", str(wheel.after_stage))
        return wheel
