"""Machines of any kind as a comparison sees them: a source on a shaft, what turns, what it weighs and costs."""

from __future__ import annotations

import os
import tomllib
from dataclasses import dataclass, replace

from geometry.files.key_tables import Table, key
from geometry.files.reading import read_text, table_from_text
from geometry.fit.fitting_layout import fitting_layout_from_text
from geometry.machine.layout import Layout
from geometry.stock.wire import Wire
from optimizer.brief.prices import Prices, PricesTable, prices_of
from optimizer.circuit.diodes import Drop
from optimizer.circuit.loads import Load
from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.evaluation.chain import Evaluation, evaluation
from optimizer.evaluation.copper import copper_mass, wire_length
from optimizer.evaluation.figures import Figures
from optimizer.motors.motor_file import rewind_from_text
from optimizer.motors.rewinding import Option, RewindBrief, motor_thevenin, pick, sweep
from optimizer.rigs.rig import Geared
from optimizer.rigs.rotor import SMALL_ARMATURE, Rotor, rotor_of


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
    length = layout.phases * wire_length(layout)
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
    per_metre = prices.wire_per_m
    if per_metre is None and prices.wire_per_kg is not None:
        per_metre = prices.wire_per_kg * wire.mass_per_metre
    return None if per_metre is None else per_metre * length + magnets * (prices.magnet or 0.0)


def _holds_motor(text: str) -> bool:
    try:
        return "motor" in tomllib.loads(text.removeprefix("\ufeff"))
    except (tomllib.TOMLDecodeError, RecursionError, ValueError):
        return "[motor]" in text  # the reader says what is wrong
