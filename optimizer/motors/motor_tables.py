"""The tables of a motor's file: what was found, what to wind, who turns it. Plain checks of one table at a time.

Where a measurement is missing the message says how to take it.
"""

from __future__ import annotations

from typing import Annotated

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
    require_one,
    rule,
    text,
    whole,
)
from geometry.files.schema import table_of
from geometry.files.values import shown
from geometry.machine.layout_file import EnamelGrade, FillFactor, Gauge, WireSize
from optimizer.brief.goal import PricesTable
from optimizer.circuit.diodes import DIODES
from optimizer.loads.load_file import USUAL_DIODE
from optimizer.motors.motor import OUTPUTS
from optimizer.motors.rewinding import TurningEnds
from optimizer.rigs.rig_file import GearTables

STANDARD_WIRES = (0.1e-3, 0.125e-3, 0.16e-3, 0.2e-3, 0.25e-3, 0.315e-3, 0.4e-3, 0.5e-3, 0.63e-3)  # m

HOW_WIRE = "be given: scrape the enamel off the old wire and measure its bare copper with a micrometer"
HOW_VOLTS = (
    "be given with rpm (or speed_constant_rpm_per_V in their place): turn the shaft at a known speed, "
    "with a drill or a timed crank, and read the direct volts between the brushes with nothing joined "
    "to them"
)
HOW_WINDING = (
    "be given, or both mean_turn_mm and resistance_ohm in its place: count the turns while unwinding "
    "one coil; unwind one turn and measure it; read the ohms between the brushes, less those of the "
    "probes held together, as the mean over one slow turn of the shaft"
)
HOW_TURN = (
    "be given, or resistance_ohm in its place: unwind one turn and measure it, or read the ohms between "
    "the brushes, less those of the probes held together, as the mean over one slow turn of the shaft"
)


class MotorTable(Table):
    """What was measured on the motor as found, in SI units but for rpm, degrees and mm² where the key says so."""

    coils: Annotated[int, whole(minimum=3, maximum=31)] = key(
        "coils", 3, meaning="poles of the armature, an odd number", label="Coils (poles of the armature)"
    )
    wire_diameter: Annotated[float | None, quantity(minimum="0.02", maximum="3", milli=True)] = key(
        "wire_diameter_mm", None, "bare copper as found", "Its wire, bare copper", usual="this or `wire_awg`"
    )
    wire_gauge: Annotated[int | None, whole(minimum=9, maximum=51, hint="AWG 51 is 0.0223 mm")] = key(
        "wire_awg", None, "American wire gauge of the same", "Its wire, AWG", usual="this or `wire_diameter_mm`"
    )
    resistance: Annotated[float | None, quantity(minimum="0.001", maximum="100000")] = key(
        "resistance_ohm", None, "between the brushes", "Resistance between the brushes",
        usual="this or `mean_turn_mm`",
    )  # fmt: skip
    brushes: Annotated[float | None, quantity(minimum="0", maximum="1000")] = key(
        "brushes_ohm", None, "of `resistance_ohm`, what brushes and leads take", "of it in brushes and leads",
        usual="what the winding leaves",
    )  # fmt: skip
    mean_turn: Annotated[float | None, quantity(minimum="2", maximum="1000", milli=True)] = key(
        "mean_turn_mm", None, "one turn unwound", "Length of one turn", usual="this or `resistance_ohm`"
    )
    turns: Annotated[int | None, whole(minimum=1, maximum=100_000)] = key(
        "turns", None, "of one coil; what ohms and length refute is asked about", "Turns of one coil",
        usual="counted from the two above",
    )  # fmt: skip
    rpm: Annotated[float | None, quantity(minimum="1", maximum="200000")] = key(
        "rpm", None, "speed at which the volts were read", "when turned at", usual="required with `volts`"
    )
    volts: Annotated[float | None, quantity(positive=True, maximum="1000")] = key(
        "volts", None, "direct volts at that speed, nothing joined", "Read between the brushes, direct", unit="V",
        usual="this or `speed_constant_rpm_per_V`",
    )  # fmt: skip
    speed_constant: Annotated[float | None, quantity(minimum="1", maximum="1000000")] = key(
        "speed_constant_rpm_per_V", None, "in place of `volts` and `rpm`", "Speed constant, rpm per V", unit="",
        usual="this or `volts`",
    )  # fmt: skip
    slot_area: Annotated[float | None, quantity(positive=True, maximum="100000")] = key(
        "slot_area_mm2", None, meaning="of one slot, where known", label="Area of one slot"
    )
    magnet_arc: Annotated[float, quantity(minimum="60", maximum="180", hint="is the unit degrees?")] = key(
        "magnet_arc_deg", 140, meaning="of one magnet", label="Arc of one magnet"
    )
    inductance: Annotated[
        float | None, quantity(minimum="0", maximum="1000", milli=True, hint="is the unit millihenry?")
    ] = key(
        "inductance_mH",
        None,
        meaning="between the brushes, where known",
        label="Inductance between the brushes",
    )
    idle_current: Annotated[float | None, quantity(minimum="0", maximum="1000")] = key(
        "no_load_A", None, meaning="when it runs free, where known", label="Current when it runs free"
    )
    mass: Annotated[
        float | None, quantity(positive=True, maximum="100000", milli=True, hint="is the unit grams?")
    ] = key("mass_g", None, meaning="of the motor, where known")

    @rule("coils")
    @classmethod
    def _odd(cls, coils: int) -> int:
        if coils % 2 == 0:
            refuse("be an odd number of at least 3 (count the poles of the armature)", str(coils))
        return coils

    @presence("wire_gauge")
    @staticmethod
    def _measured(gauge: object, earlier: Earlier) -> None:
        diameter = earlier.data.get("wire_diameter", "a wrong one")
        if gauge is None and diameter is None:
            refuse_table(f"wire_diameter_mm must {HOW_WIRE}; was missing")
        require_one(gauge, "wire_awg", diameter, "wire_diameter_mm")

    @rule("brushes")
    @classmethod
    def _a_part(cls, brushes: float | None, earlier: Earlier) -> float | None:
        whole = earlier.data.get("resistance")
        if brushes is not None and whole is not None and brushes >= whole:
            refuse(f"be less than resistance_ohm ({shown(whole)}), which it is a part of", shown(brushes))
        return brushes

    @rule("turns")
    @classmethod
    def _counted(cls, turns: int | None, earlier: Earlier) -> int | None:
        resistance, mean_turn = (earlier.data.get(name, 0) for name in ("resistance", "mean_turn"))
        if turns is None and (resistance is None or mean_turn is None):
            refuse_table(f"turns must {HOW_WINDING}; was missing")
        if resistance is None and mean_turn is None:
            refuse_table(f"mean_turn_mm must {HOW_TURN}; was missing")
        return turns

    @presence("speed_constant")
    @staticmethod
    def _turned(constant: object, earlier: Earlier) -> None:
        volts, rpm = (earlier.data.get(name, 0) for name in ("volts", "rpm"))
        if constant is not None and (volts is not None or rpm is not None):
            refuse("be left out when volts or rpm is given", shown(constant))
        if constant is None and volts is None:
            refuse_table(f"volts must {HOW_VOLTS}; was missing")
        if constant is None and rpm is None:
            refuse_table("rpm must be given: the speed at which the volts were read; was missing")


class RewindTable(Table):
    """What to wind it with (m), and what for (Ω)."""

    wires: Annotated[list[WireSize] | None, listed("wire diameters")] = key(
        "wires_mm", None, "wires at hand, bare copper, any sizes", "Wires at hand, bare copper, mm",
        unit="", usual="standard sizes",
    )  # fmt: skip
    gauges: Annotated[list[Gauge] | None, listed("wire gauges")] = key(
        "wires_awg", None, "wires at hand, American wire gauges", "Wires at hand, AWG", unit="", usual="none",
    )  # fmt: skip
    enamel_grade: EnamelGrade = key(
        "enamel_grade", 1, meaning="2 for the thicker enamel", label="Grade of the enamel"
    )
    turns: Annotated[int | None, whole(minimum=1, maximum=100_000)] = key(
        "turns", None, "turns wanted", "Turns wanted (empty: all that fit)", usual="as many as fit"
    )
    fill_factor: FillFactor = key(
        "fill_factor", 0.6, "most of a slot that insulated wire may take", "Fill factor of a slot"
    )
    room_ratio: Annotated[float, quantity(minimum="0.1", maximum="2")] = key(
        "room_ratio", 1, meaning="room against the old winding's", label="Room, of that of the old wire"
    )
    output: Annotated[str, choice(OUTPUTS)] = key(
        "output", "commutator", meaning="what the armature is tapped through", label="Tapped through"
    )
    diode: Annotated[str, choice(DIODES)] = key(
        "diode", USUAL_DIODE, "each of the six behind a `-bridge`, where the load names none", "Its six diodes",
    )  # fmt: skip
    load: Annotated[float | None, quantity(minimum="0.001", maximum="1000000")] = key(
        "load_ohm", None, "what it shall feed", "A load of its own (the one above counts)", usual="its own best",
    )  # fmt: skip


class TurningTable(table_of(TurningEnds)):
    """[turning]"""


class SpecTable(Table):
    """The whole file."""

    title: Annotated[str, text()] = key("title", "Untitled", meaning="for the answer", label="Name")
    motor: MotorTable = key("motor")
    rewind: RewindTable = key("rewind", RewindTable())
    turning: TurningTable = key("turning", TurningTable())
    gears: GearTables | None = key("gears", None)
    prices: PricesTable | None = key("prices", None)
