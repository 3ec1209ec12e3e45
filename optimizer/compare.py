"""Machines side by side under the same rig and load, or at one speed: volts, watts, effort, what each is for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import pi

from optimizer.drive import HopelessRig, drive
from optimizer.hazards import Hazard, Turning, cell_hazards, heat_hazards
from optimizer.loads import Load, Resistor
from optimizer.machines import Machine
from optimizer.retention import OVERSPEED
from optimizer.rewind import behind_diodes, load_volts
from optimizer.rig import Rig
from optimizer.steady import steady_state

RPM = pi / 30  # rad/s


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One machine under a rig (or at a speed) and a load.

    rpm: of its own shaft. open_volts: at that speed with nothing joined, RMS, or direct of a commutated source.
    volts, watts: at the load. hand_watts: from the hand. hand_torque: N·m at the shaft that the hand turns, without
    a rig; hand_force: N, most while driving, with one. useful_after: s from rest, or None. failure: why it does not
    run at all, or empty. hazards: what bites there.
    """

    machine: Machine
    rpm: float = 0.0
    open_volts: float = 0.0
    volts: float = 0.0
    watts: float = 0.0
    hand_watts: float = 0.0
    hand_torque: float | None = None
    hand_force: float | None = None
    useful_after: float | None = None
    failure: str = ""
    hazards: tuple[Hazard, ...] = ()

    @property
    def efficiency(self) -> float:
        """Share of the hand's work that comes to the load."""
        return self.watts / self.hand_watts if self.hand_watts > 0 else 0.0


def compare(
    machines: Sequence[Machine], load: Load | None, rig: Rig | None = None, speed_rpm: float | None = None
) -> tuple[Entry, ...]:
    """Every machine, in the order given.

    load: None takes for each a resistance of its own winding's ohms, its best load. rig: None turns each at
    `speed_rpm` ahead of its own gears, or without that at the first machine's own speed.
    """
    speed = machines[0].speed_rpm if speed_rpm is None else speed_rpm
    if rig is None:
        return tuple(at_speed(machine, load, speed) for machine in machines)
    return tuple(under_rig(machine, load, rig) for machine in machines)


def at_speed(machine: Machine, load: Load | None, speed_rpm: float) -> Entry:
    """A machine at a steady speed ahead of its own gears."""
    rpm = speed_rpm * machine.step_up
    point = steady_state(machine.source, _load(machine, load), rpm)
    given = (point.shaft_watts + machine.idle_torque * rpm * RPM) / machine.gear_efficiency
    return Entry(
        machine=machine,
        rpm=rpm,
        open_volts=machine.source.emf_constant * rpm * RPM,
        volts=load_volts(point),
        watts=point.load_watts,
        hand_watts=given,
        hand_torque=given / (speed_rpm * RPM),
        hazards=(*_turning(machine, rpm).hazards, *_heat(machine, point.copper_watts), *cell_hazards(load)),
    )


def _turning(machine: Machine, rpm: float) -> Turning:
    peak, burst_rpm = machine.source.peak_constant * rpm * RPM, machine.rotor.burst_speed / RPM
    return Turning(rpm=rpm, fastest=OVERSPEED * rpm, burst_rpm=burst_rpm, peak=peak)


def _heat(machine: Machine, copper_watts: float) -> tuple[Hazard, ...]:
    """Of a motor nothing is known of how its copper cools."""
    return heat_hazards(machine.layout, copper_watts) if machine.layout else ()


def under_rig(machine: Machine, load: Load | None, rig: Rig) -> Entry:
    """A machine turned by a rig, its own gears behind the rig's; where it cannot, the entry says why."""
    whole, own_load = with_machine(rig, machine), _load(machine, load)
    try:
        run = drive(machine.source, own_load, whole, machine.rotor)
    except HopelessRig as reason:
        return Entry(machine=machine, failure=str(reason))
    settled = run.settled
    point = steady_state(machine.source, own_load, settled.rpm)
    return Entry(
        machine=machine,
        rpm=settled.rpm,
        open_volts=machine.source.emf_constant * settled.rpm * RPM,
        volts=settled.dc_volts or load_volts(point),
        watts=settled.load_watts,
        hand_watts=settled.hand_watts,
        hand_force=settled.peak_force,
        useful_after=run.useful_after,
        hazards=(*run.hazards, *_heat(machine, run.energies.copper / run.seconds)),
    )


def with_machine(rig: Rig, machine: Machine) -> Rig:
    """The rig with the machine's own gears last; the flywheel stays where it was."""
    wheel = rig.flywheel
    if wheel is not None and wheel.after_stage is None:
        wheel = replace(wheel, after_stage=len(rig.gears))
    return replace(rig, gears=(*rig.gears, *machine.gears), flywheel=wheel)


def _load(machine: Machine, load: Load | None) -> Load:
    if machine.diodes:
        return behind_diodes(Resistor(ohms=machine.source.terminal_resistance) if load is None else load)
    return Resistor(ohms=machine.source.resistance) if load is None else load


def verdicts(entries: Sequence[Entry]) -> tuple[str, ...]:
    """What each machine is good for, in words, by the figures and its kind."""
    working = [entry for entry in entries if entry.watts > 0]
    return tuple(_verdict(entry, working) for entry in entries)


def _verdict(entry: Entry, working: Sequence[Entry]) -> str:
    if entry.failure:
        return f"does not run on this rig: {entry.failure}"
    if entry.watts <= 0:
        return "does not bring this load to work here; " + _nature(entry.machine)
    praise = []
    if len(working) > 1:
        if entry.watts >= max(other.watts for other in working):
            praise.append("gives the load the most watts")
        if entry.volts >= max(other.volts for other in working):
            praise.append("gives the most volts")
        if entry.efficiency >= max(other.efficiency for other in working):
            praise.append("asks least of the hand for each watt")
        costs = [other.machine.cost for other in working if other.machine.cost is not None]
        if len(costs) == len(working) and entry.machine.cost == min(costs) < max(costs):
            praise.append("costs least in magnets and wire")
    return "; ".join([*praise, _nature(entry.machine)])


def _nature(machine: Machine) -> str:
    if machine.kind == "magnets and coil":
        return (
            "no brushes, no tugging of teeth: silent, lasting, made to measure; direct current takes diodes"
        )
    geared = ", but its gears whirr and wear" if machine.gears else ""
    if machine.diodes:
        return f"from the scrap box in an afternoon, without brushes; direct current by six diodes, teeth tug{geared}"
    if machine.source.kind == "commutated":
        return (
            f"from the scrap box in an afternoon, direct current at once; brushes wear and teeth tug{geared}"
        )
    return f"from the scrap box in an afternoon, without brushes; alternating, and teeth tug{geared}"
