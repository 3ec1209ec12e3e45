"""A motor as measured, read from TOML with every fault at once: tables in, values in SI out."""

from __future__ import annotations

import os
from math import pi, radians, sqrt
from typing import NamedTuple

from geometry.files.faults import line_of
from geometry.files.reading import Fault, FileFaults, read_text, table_from_text
from geometry.machine.layout_file import millimetres
from geometry.machine.speed import rad_s_of, rpm_of
from geometry.stock.wire import AWG, CONDUCTIVITY, Wire
from geometry.stock.wire_words import wire_mm, wire_size
from optimizer.brief.goal import prices_of
from optimizer.circuit.diodes import DIODES
from optimizer.circuit.loads import Resistor
from optimizer.motors.motor import Motor, brush_share
from optimizer.motors.motor_tables import STANDARD_WIRES, MotorTable, RewindTable, SpecTable
from optimizer.motors.rewinding import RewindBrief, TurningEnds, max_turns
from optimizer.rigs.rig_file import gear_stages

# mean turn of a coil over the root of its wire's section: a coil about nothing has π, one about a tooth some 10 to 20,
# one over several teeth twice that; beyond these the count or the ohms are wrong. Common practice, no source
LEAST_TURN = pi
MOST_TURN = {"tooth": 40.0, "several teeth": 80.0}
# of the ohms that turns and wire come to, what is read may be this share, or they this share of it: beyond it a
# measurement must be wrong, since micrometer, tape and meter together may be out by a third
LEAST_SHARE = 0.7
USUAL_BRUSHES = 0.5  # Ω of brushes and leads that nobody is asked about; common practice, no source


def read_rewind(path: str | os.PathLike[str]) -> RewindBrief:
    """The motor of a file with what to make of it. Raises FileFaults with every fault in it."""
    return rewind_from_text(read_text(path), os.fspath(path))


def rewind_from_text(text: str, name: str) -> RewindBrief:
    """What `text` holds; `name` stands for the file in messages. Raises FileFaults."""
    table = table_from_text(text, name, SpecTable)
    faults = [*_winding_faults(table), *_use_faults(table)]
    motor = None if faults else _motor_of(table)
    if motor is not None:
        faults = _fit_faults(table, motor)
    if motor is None or faults:
        raise FileFaults(
            tuple(Fault(name, line_of(text, where), where, message) for where, message in faults)
        )
    plan = table.rewind
    return RewindBrief(
        motor=motor,
        wires=_wires(plan),
        turns=plan.turns,
        output=plan.output,
        turning=_turning_of(table),
        load=None if plan.load is None else Resistor(ohms=plan.load),
        drop=DIODES[plan.diode],
        prices=prices_of(table.prices) if table.prices else None,
    )


def _winding_faults(table: SpecTable) -> list[tuple[str, str]]:
    """Measurements that contradict one another."""
    motor = table.motor
    known = _known(motor)
    faults = _refuted(motor, known) if motor.turns is not None and motor.mean_turn is not None else []
    faults += _implied_faults(motor, known)
    minimum = known.turns * _circle(motor)
    if motor.slot_area is not None and motor.slot_area * 1e-6 < minimum:
        faults.append((
            "motor.slot_area_mm2",
            f"must be at least {minimum * 1e6:.3g}, the insulated wire of the old winding, was "
            f"{motor.slot_area:g}",
        ))  # fmt: skip
    return faults


def _implied_faults(motor: MotorTable, known: _Known) -> list[tuple[str, str]]:
    """A turn count or a length of a turn that follows from the ohms, and cannot well be."""
    if known.reckoned not in ("turns", "mean_turn"):
        return []
    root = sqrt(known.turns * _circle(motor))
    minimum, maximum = LEAST_TURN * root, MOST_TURN["tooth" if motor.coils == 3 else "several teeth"] * root
    if minimum <= known.mean_turn <= maximum:
        return []
    if known.reckoned == "mean_turn":
        key, was, way = "turns", f"{known.turns:g}", "unwind one turn and give mean_turn_mm"
        implied = f"a turn of {known.mean_turn * 1e3:.3g} mm"
    else:
        key, was, way = "mean_turn_mm", millimetres(known.mean_turn), "count and give turns"
        implied = f"{known.turns:.3g} turns"
    return [(
        f"motor.{key}",
        f"must go with resistance_ohm: together they come to {implied}, and a coil of that much wire measures about "
        f"{minimum * 1e3:.2g} to {maximum * 1e3:.2g} mm around (measure the ohms again, less those of the probes held "
        f"together, or {way} as well), was {was}",
    )]  # fmt: skip


def _refuted(motor: MotorTable, known: _Known) -> list[tuple[str, str]]:
    """Turns, their length and the ohms read, which ought to agree."""
    if motor.resistance is None:
        return []
    reckoned = known.turns * known.mean_turn * _ohms_per_metre(motor) * brush_share(motor.coils)
    told = (
        f"{known.turns:g} turns of {millimetres(_diameter(motor))} mm wire, {millimetres(known.mean_turn)} mm a turn, "
        f"come to {reckoned:.3g} Ω in {motor.coils} coils between the brushes"
    )
    read = motor.resistance - (motor.brushes or 0.0)
    if read < LEAST_SHARE * reckoned:
        return [(
            "motor.resistance_ohm",
            f"must be at least about {reckoned + (motor.brushes or 0.0):.3g}, since {told}, was {motor.resistance:g} "
            "(count again, or measure again: is a coil shorted?)",
        )]  # fmt: skip
    spare = read - reckoned
    if LEAST_SHARE * read <= reckoned or (motor.brushes is None and spare <= USUAL_BRUSHES):
        return []
    way_out = f"; if brushes and leads do take {spare:.3g} Ω of it, say brushes_ohm = {spare:.3g}"
    return [(
        "motor.turns",
        f"must agree with resistance_ohm and mean_turn_mm: {told}, but {read:.3g} Ω were read for them, which "
        f"{known.turns * read / reckoned:.0f} turns would have, was {known.turns:g} (count one coil again, or measure "
        f"one turn again{way_out if motor.brushes is None else ''})",
    )]  # fmt: skip


def _use_faults(table: SpecTable) -> list[tuple[str, str]]:
    faults: list[tuple[str, str]] = []
    if table.rewind.output != "commutator" and table.motor.coils != 3:
        faults.append((
            "rewind.output",
            f'must be "commutator" for an armature of {table.motor.coils} coils (star and delta take three), was '
            f'"{table.rewind.output}"',
        ))  # fmt: skip
    turning = _turning_of(table)
    if turning.relative_rpm == 0:
        faults.append((
            "turning",
            "shaft_rpm and body_rpm must differ, since only the speed of one against the other makes "
            f"volts; were {turning.shaft_rpm:g} and {turning.body_rpm:g}",
        ))  # fmt: skip
    return faults


def _fit_faults(table: SpecTable, motor: Motor) -> list[tuple[str, str]]:
    """No wire at hand that fits as often as wanted."""
    thinnest = min(_wires(table.rewind), key=lambda wire: wire.diameter)
    maximum = max_turns(motor, thinnest)
    if maximum >= (table.rewind.turns or 1):
        return []
    place = f"the room of {motor.room * 1e6:.3g} mm²"
    room = f"{place} takes at most {maximum} turns of {wire_size(thinnest)}"
    if table.rewind.turns is None:
        return [
            (
                "rewind.wires_mm",
                f"must hold a wire that fits: {room}, was {wire_mm(thinnest)} at the thinnest",
            )
        ]
    return [("rewind.turns", f"must fit with a wire at hand: {room}, was {table.rewind.turns}")]


class _Known(NamedTuple):
    """The winding as found, of one coil; brushes in Ω; which of the three followed from the others."""

    turns: float
    mean_turn: float
    brushes: float
    reckoned: str


def _known(motor: MotorTable) -> _Known:
    """Ω between the brushes = turns · mean turn · Ω/m · brush share + brushes: any one of them follows from the others.

    With all of the winding's three and no brushes stated, what the measured resistance has beyond the winding's is put
    down to brushes and leads.
    """
    per_metre, share = _ohms_per_metre(motor), brush_share(motor.coils)
    turns, mean_turn, brushes = motor.turns, motor.mean_turn, motor.brushes or 0.0
    ohms = 0.0 if motor.resistance is None else motor.resistance - brushes
    if turns is None:
        assert mean_turn is not None
        return _Known(ohms / share / per_metre / mean_turn, mean_turn, brushes, "turns")
    if mean_turn is None:
        return _Known(turns, ohms / share / per_metre / turns, brushes, "mean_turn")
    if motor.resistance is None or motor.brushes is not None:
        return _Known(turns, mean_turn, brushes, "resistance")
    return _Known(turns, mean_turn, max(ohms - turns * mean_turn * per_metre * share, 0.0), "brushes")


def _ohms_per_metre(motor: MotorTable) -> float:
    return 1 / (CONDUCTIVITY * pi / 4 * _diameter(motor) ** 2)


def _diameter(motor: MotorTable) -> float:
    if motor.wire_gauge is not None:
        return AWG[motor.wire_gauge]
    assert motor.wire_diameter is not None  # the table's own rule
    return motor.wire_diameter


def _circle(motor: MotorTable) -> float:
    """Section of the old wire with its enamel, m²."""
    return Wire(diameter=_diameter(motor)).overall_area


def _motor_of(table: SpecTable) -> Motor:
    measured, plan = table.motor, table.rewind
    known = _known(measured)
    room = (
        known.turns * _circle(measured) if measured.slot_area is None else measured.slot_area * 1e-6 * plan.fill_factor
    )
    constant = _constant(measured)
    return Motor(
        title=table.title,
        coils=measured.coils,
        turns=known.turns,
        diameter=_diameter(measured),
        mean_turn=known.mean_turn,
        room=room * plan.room_ratio,
        constant=constant,
        brush_resistance=known.brushes,
        magnet_arc=radians(measured.magnet_arc),
        inductance=measured.inductance,
        idle_torque=None if measured.idle_current is None else constant * measured.idle_current,
        mass=measured.mass,
        reckoned=known.reckoned,
    )


def _constant(measured: MotorTable) -> float:
    """V·s/rad."""
    if measured.speed_constant is not None:
        return rpm_of(1 / measured.speed_constant)
    assert measured.volts is not None
    assert measured.rpm is not None
    return measured.volts / rad_s_of(measured.rpm)


def _turning_of(table: SpecTable) -> TurningEnds:
    return TurningEnds(**table.turning.model_dump(), gears=gear_stages(table.gears))


def _wires(plan: RewindTable) -> tuple[Wire, ...]:
    bare = [*(plan.wires or ()), *(AWG[gauge] for gauge in plan.gauges or ())] or STANDARD_WIRES
    return tuple(Wire(diameter=diameter, grade=plan.enamel_grade) for diameter in bare)
