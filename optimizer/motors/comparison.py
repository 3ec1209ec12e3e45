"""Machines side by side under the same rig and load, or at one speed: volts, watts, effort."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from geometry.machine.speed import rad_s_of, rpm_of
from optimizer.circuit.loads import Load
from optimizer.circuit.steady import steady_state
from optimizer.evaluation.retention import OVERSPEED
from optimizer.loads.best_load import best_load, open_volts, plain_load
from optimizer.loads.hazards import Hazard, Turning, heat_hazards, load_hazards
from optimizer.motors.machines import Machine
from optimizer.motors.rewinding import load_volts
from optimizer.rigs.hand_drive import CannotTurn, drive
from optimizer.rigs.rig import Rig


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparisonEntry:
    """One machine under a rig (or at a speed) and a load.

    rpm: of its own shaft. open_volts: at that speed with nothing joined, of the kind `open_kind`. volts, of the kind
    `load_kind`, and watts: at the load. hand_watts: from the hand. hand_torque: N·m at the shaft that the hand turns,
    without a rig; hand_force: N, most while driving, with one. useful_after: s from rest, or None. failure: why it does
    not run at all, or empty. hazards: what bites there.
    """

    machine: Machine
    rpm: float = 0.0
    open_volts: float = 0.0
    volts: float = 0.0
    load_kind: str = "direct"
    watts: float = 0.0
    hand_watts: float = 0.0
    hand_torque: float | None = None
    hand_force: float | None = None
    useful_after: float | None = None
    failure: str = ""
    hazards: tuple[Hazard, ...] = ()

    @property
    def open_kind(self) -> str:
        """What the open volts are: "direct", "rms", or "line rms" between two of three terminals."""
        if self.machine.diodes is not None or self.machine.source.kind == "commutated":
            return "direct"
        return "line rms" if self.machine.source.connection else "rms"

    @property
    def efficiency(self) -> float:
        """Share of the hand's work that comes to the load."""
        return self.watts / self.hand_watts if self.hand_watts > 0 else 0.0


def compare(
    machines: Sequence[Machine], load: Load | None, rig: Rig | None = None, speed_rpm: float | None = None
) -> tuple[ComparisonEntry, ...]:
    """Every machine, in the order given.

    load: None takes for each the resistance that gets the most of it, straight across unless it has diodes. rig: None
    turns each at `speed_rpm` ahead of its own gears, or without that at the first machine's own speed.
    """
    speed = machines[0].speed_rpm if speed_rpm is None else speed_rpm
    if rig is None:
        return tuple(at_speed(machine, load, speed) for machine in machines)
    return tuple(under_rig(machine, load, rig) for machine in machines)


def at_speed(machine: Machine, load: Load | None, speed_rpm: float) -> ComparisonEntry:
    """A machine at a steady speed ahead of its own gears."""
    rpm = speed_rpm * machine.step_up
    own_load, turning = _load(machine, load, rpm), _turning(machine, rpm)
    point = steady_state(machine.source, own_load, rpm)
    given = (point.shaft_watts + machine.idle_torque * rad_s_of(rpm)) / machine.gear_efficiency
    return ComparisonEntry(
        machine=machine,
        rpm=rpm,
        open_volts=open_volts(machine.source, rpm, machine.diodes),
        volts=load_volts(point),
        load_kind=_kind(machine, own_load),
        watts=point.load_watts,
        hand_watts=given,
        hand_torque=given / rad_s_of(speed_rpm),
        hazards=(
            *turning.hazards,
            *_heat(machine, point.copper_watts),
            *load_hazards(load, turning.peak, rpm, point.dc_volts, point.dc_amps),
        ),
    )


def _turning(machine: Machine, rpm: float) -> Turning:
    peak, burst_rpm = machine.source.peak_constant * rad_s_of(rpm), rpm_of(machine.rotor.burst_speed)
    return Turning(rpm=rpm, fastest=OVERSPEED * rpm, burst_rpm=burst_rpm, peak=peak)


def _heat(machine: Machine, copper_watts: float) -> tuple[Hazard, ...]:
    """Of a motor nothing is known of how its copper cools."""
    return heat_hazards(machine.layout, copper_watts) if machine.layout else ()


def under_rig(machine: Machine, load: Load | None, rig: Rig) -> ComparisonEntry:
    """A machine turned by a rig, its own gears behind the rig's; where it cannot, the entry says why."""
    whole = with_machine(rig, machine)
    own_load = _load(machine, load, machine.speed_rpm * machine.step_up)
    try:
        run = drive(machine.source, own_load, whole, machine.rotor)
    except CannotTurn as reason:
        return ComparisonEntry(machine=machine, failure=str(reason))
    settled = run.settled
    point = steady_state(machine.source, own_load, settled.rpm)
    return ComparisonEntry(
        machine=machine,
        rpm=settled.rpm,
        open_volts=open_volts(machine.source, settled.rpm, machine.diodes),
        volts=settled.dc_volts or load_volts(point),
        load_kind=_kind(machine, own_load),
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


def _load(machine: Machine, load: Load | None, rpm: float) -> Load:
    """What the machine feeds; without a load the resistance that gets the most at `rpm` of its shaft."""
    if load is not None:
        return load.behind(machine.diodes)
    return plain_load(best_load(machine.source, rpm, machine.diodes).ohms, machine.diodes)


def _kind(machine: Machine, load: Load) -> str:
    """What the load's volts are: "direct", "rms", or of three loads "phase rms" (star) and "line rms" (delta)."""
    if load.bridge is not None or machine.source.kind == "commutated":
        return "direct"
    return {"star": "phase rms", "delta": "line rms", "": "rms"}[machine.source.connection]
