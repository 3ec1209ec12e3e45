"""Machines of any kind side by side under the same rig and load, or at one speed: volts, watts, effort.

A comparison sees each as a source on a shaft, with what turns, weighs and costs.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace

from geometry.files.key_tables import Table, key
from geometry.files.reading import read_text, table_from_text
from geometry.fit.rules import fitting_layout_from_text
from geometry.machine.layout import Layout
from geometry.machine.speed import rad_s_of, rpm_of
from geometry.stock.wire import Wire
from optimizer.brief.goal import Prices, PricesTable, prices_of
from optimizer.circuit.diodes import Drop
from optimizer.circuit.loads import Load
from optimizer.circuit.loads.load import steady_state
from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.evaluation.chain import Evaluation, Figures, evaluation
from optimizer.evaluation.copper import copper_mass, wire_length
from optimizer.evaluation.retention import OVERSPEED
from optimizer.loads.hazards import Hazard, Turning, heat_hazards, load_hazards
from optimizer.loads.load_curves import best_load, open_volts, plain_load
from optimizer.motors.motor_file import rewind_from_text
from optimizer.motors.rewinding import Option, RewindBrief, load_volts, motor_thevenin, pick, sweep
from optimizer.rigs.drivetrain import SMALL_ARMATURE, Rotor, rotor_of
from optimizer.rigs.hand_drive import CannotTurn, drive
from optimizer.rigs.rig import Geared, Rig


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine(Geared):
    """One machine to be compared, SI.

    kind: "magnets and coil" or "rewound motor". diodes: drop of each of the six that make direct
    current of its three lines, or None. gears: its own, ahead of its shaft.
    wire: m and kg of copper. magnets: how many, and kg of all. mass: of what is
    known: magnets, copper and, of a motor, the rest. cost: of magnets and wire in `currency`, None if not known.
    speed_rpm: ahead of its gears, what its file asks for.
    figures: of magnets and coil; rewound: of a motor, what it is rewound for and the winding picked.
    """

    name: str
    kind: str
    source: TheveninSource
    rotor: Rotor
    wire_length: float
    copper_mass: float
    magnets: int = 0
    magnet_mass: float = 0.0
    mass: float
    cost: float | None = None
    currency: str = ""
    speed_rpm: float
    diodes: Drop | None = None
    figures: Figures | None = None
    rewound: tuple[RewindBrief, Option] | None = None

    @property
    def layout(self) -> Layout | None:
        """Of magnets and coil, as they are built."""
        return self.figures and self.figures.layout

    @property
    def idle_torque(self) -> float:
        """Of its own bearings, brushes and iron, N·m."""
        return self.rotor.idle_torque or 0.0

    @property
    def per_phase(self) -> bool:
        """Whether its ohms are those of one of three phases."""
        return bool(self.source.connection) and self.diodes is None

    @property
    def ohms(self) -> float:
        """Of its winding at 20 °C: between the terminals, or where three phases stay apart of one of them, Ω."""
        return self.source.resistance if self.per_phase else self.source.terminal_resistance


class _PricesFile(Table, extra="ignore"):
    """Any file that holds prices: a list of nothing else, a brief, a motor's file."""

    prices: PricesTable = key("prices")


def read_prices(path: str | os.PathLike[str]) -> Prices:
    """The prices of a file that holds a table [prices], whatever else it holds. Raises FileFaults."""
    return prices_of(table_from_text(read_text(path), os.fspath(path), _PricesFile).prices)


def read_machine(
    path: str | os.PathLike[str], prices: Prices | None = None, load: Load | None = None
) -> Machine:
    """The machine of a layout's or a motor's file, told apart by what it holds. Raises FileFaults.

    A motor comes with the wire that `polepitch rewind` would pick. prices, load: in place of those in the file.
    """
    name, text = os.fspath(path), read_text(path)
    if _holds_motor(text):
        brief = rewind_from_text(text, name)
        return machine_of_motor(brief if load is None else replace(brief, load=load), prices)
    return machine_of_layout(fitting_layout_from_text(text, name), prices)


def machine_of_layout(
    layout: Layout, prices: Prices | None = None, evaluated: Evaluation | None = None
) -> Machine:
    """A layout; magnets and wire cost what `prices` say. evaluated: its evaluation, where it is made already."""
    evaluated = evaluated or evaluation(layout)
    winding, carrier = layout.winding, layout.carrier
    length = layout.phases * wire_length(layout) * layout.winding.wire.strands
    magnets = carrier.carriers * carrier.count
    copper, magnet_mass = copper_mass(layout, length), magnets * carrier.magnet.mass
    return Machine(
        name=layout.title,
        kind="magnets and coil",
        source=thevenin_of(layout, emf=evaluated.emf),
        rotor=rotor_of(layout),
        wire_length=length,
        copper_mass=copper,
        magnets=magnets,
        magnet_mass=magnet_mass,
        mass=copper + magnet_mass,
        cost=_cost(prices, winding.wire, length, magnets),
        currency=prices.currency if prices else "",
        speed_rpm=layout.speed_rpm,
        figures=evaluated.figures,
    )


def machine_of_motor(brief: RewindBrief, prices: Prices | None = None) -> Machine:
    """A motor with the wire that suits its own stated load best; the motor itself was salvaged and
    costs nothing."""
    motor, chosen = brief.motor, pick(sweep(brief))
    new = chosen.armature
    prices = prices or brief.prices
    rest = max((motor.mass or 0.0) - motor.copper_mass, 0.0)
    return Machine(
        name=motor.title,
        kind="rewound motor",
        source=motor_thevenin(new),
        diodes=new.diodes,
        rotor=replace(SMALL_ARMATURE, idle_torque=motor.idle_torque or 0.0),
        gears=brief.turning.gears,
        wire_length=new.wire_length,
        copper_mass=new.copper_mass,
        mass=rest + new.copper_mass,
        cost=_cost(prices, new.wire, new.wire_length, 0),
        currency=prices.currency if prices else "",
        speed_rpm=abs(brief.turning.shaft_rpm or brief.turning.body_rpm),
        rewound=(brief, chosen),
    )


def _cost(prices: Prices | None, wire: Wire, length: float, magnets: int) -> float | None:
    """None unless everything needed has a price."""
    if prices is None or (magnets and prices.magnet is None):
        return None
    per_metre = prices.metre_of(wire)
    return None if per_metre is None else per_metre * length + magnets * (prices.magnet or 0.0)


def _holds_motor(text: str) -> bool:
    try:
        return "motor" in tomllib.loads(text.removeprefix("\ufeff"))
    except (tomllib.TOMLDecodeError, RecursionError, ValueError):
        return "[motor]" in text  # the reader says what is wrong


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
    """A machine at a steady `speed_rpm` ahead of its own gears."""
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
    return tuple(heat_hazards(machine.layout, copper_watts)) if machine.layout else ()


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
