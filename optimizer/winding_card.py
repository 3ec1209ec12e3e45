"""The numbers to wind by and to check the winding with, all from the layout."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees, pi

from geometry.filaments import coil_senses
from geometry.layout import Layout
from geometry.section import layer_count, turn_positions, turns_per_layer
from geometry.wire import resistance_at
from optimizer.emf import waveform

PHASE_END = 0.2  # m, left at the start and at the finish of the phase
JOINT_ROOM = (
    0.04  # m, left at each joint between coils beside half the way to the neighbour: to strip and to hold
)
ROOM_TEMPERATURES = (10.0, 20.0, 30.0)  # °C
WINDING_STRESS = 40e6  # Pa on the copper: a pull by hand that lays wire tight; common practice, no source
STRETCHING_STRESS = (
    70e6  # Pa at which annealed copper begins to stretch for good; textbook value, from memory
)
CELL = 1.5  # V, of the cell that finds a reversed coil
METER_FREQUENCY = 45.0  # Hz; below it the AC range of many simple meters reads low
GRAVITY = 9.81  # m/s²


@dataclass(frozen=True, slots=True, kw_only=True)
class Resistance:
    """What a meter should show at one temperature (°C), Ω: nominal, least and most by the wire standard."""

    temperature: float
    nominal: float
    least: float
    most: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CoilOrder:
    """One coil in series order: number from 1, polar angle of its middle (rad), which way it is wound.

    clockwise: seen as the template shows it, which is how the former lies with its pegs up.
    """

    number: int
    angle: float
    clockwise: bool

    @property
    def angle_deg(self) -> float:
        """Polar angle in degrees."""
        return degrees(self.angle)


@dataclass(frozen=True, slots=True, kw_only=True)
class WindingCard:
    """What the winder needs. Lengths in m, resistances in Ω, angles in rad.

    layers: turns in each layer, from the magnets up. shortest_turn, longest_turn, coil_length, turns_length:
    of one turn, of all turns of a coil, of all coils, without ends. joint_end: left at each end of a coil
    that is joined to another; phase_end: left at the start and at the finish. coil, series: meter readings at
    the room temperatures, of one coil with its ends (None when there is only one) and of all in series with
    all ends; turns_only: at 20 °C without any end. one_turn: resistance of one mean turn at 20 °C.
    hidden_turns: a miscount in each coil that the standard's band can hide. section_fill: insulated wire over
    section. pull, stretching_pull: N. emf_rms: open circuit, V at `speed_rpm`. frequency: Hz.
    """

    topology: str
    magnets: int
    turns: int
    wire_diameter: float
    overall_diameter: float
    enamel_grade: int
    bundle_width: float
    bundle_height: float
    layers: tuple[int, ...]
    orders: tuple[CoilOrder, ...]
    shortest_turn: float
    longest_turn: float
    coil_length: float
    turns_length: float
    joint_end: float
    phase_end: float
    coil: tuple[Resistance, ...] | None
    series: tuple[Resistance, ...]
    turns_only: Resistance
    one_turn: float
    hidden_turns: float
    section_fill: float
    pull: float
    stretching_pull: float
    emf_rms: float
    speed_rpm: float
    frequency: float

    @property
    def coils(self) -> int:
        """Number of coils."""
        return len(self.orders)

    @property
    def ends_length(self) -> float:
        """All that is left beyond the turns, m: two ends of the phase, two at each joint."""
        return 2 * self.phase_end + 2 * (self.coils - 1) * self.joint_end

    @property
    def wire_length(self) -> float:
        """Turns and ends, m."""
        return self.turns_length + self.ends_length

    @property
    def pull_mass(self) -> float:
        """Mass in kg whose weight is the pull."""
        return self.pull / GRAVITY

    @property
    def coil_emf(self) -> float:
        """EMF of one coil in V rms."""
        return self.emf_rms / self.coils

    @property
    def cell_current(self) -> float:
        """Current in A that a fresh cell drives through the whole winding at 20 °C."""
        return CELL / self.series[1].nominal

    @property
    def meter_frequency(self) -> float:
        """Hz below which the AC range of a simple meter may read low."""
        return METER_FREQUENCY

    @property
    def slow(self) -> bool:
        """Whether the AC range of a simple meter may read low at this frequency."""
        return self.frequency < self.meter_frequency

    def emf_with_reversed(self, reversed_coils: int) -> float:
        """EMF in V rms when so many coils work against the others."""
        return self.emf_rms * abs(self.coils - 2 * reversed_coils) / self.coils

    @property
    def emf_with_wrong_magnet(self) -> float:
        """EMF in V rms, nearly, when one magnet lies the wrong way up."""
        return self.emf_rms * (self.magnets - 2) / self.magnets


def winding_card(layout: Layout) -> WindingCard:
    """The card of a layout; lengths are those of its filaments, resistances those of the wire standard."""
    winding, wire = layout.winding, layout.winding.wire
    offsets, _ = turn_positions(winding.turns, winding.width, winding.height)
    turns = layout.topology.turn_length(layout.envelope, offsets) / layout.coils
    length, coils = float(turns.sum()), layout.coils
    joint = pi * winding.outer_radius / coils + JOINT_ROOM if coils > 1 else 0.0
    ends = 2 * PHASE_END + 2 * (coils - 1) * joint
    alone = _reading(layout, length * coils, 20.0)
    return WindingCard(
        topology=winding.topology,
        magnets=layout.carrier.count,
        turns=winding.turns,
        wire_diameter=wire.diameter,
        overall_diameter=wire.overall_diameter,
        enamel_grade=wire.grade,
        bundle_width=winding.width,
        bundle_height=winding.height,
        layers=tuple(
            turns_per_layer(winding.turns, layer_count(winding.turns, winding.width, winding.height))
        ),
        orders=coil_orders(layout),
        shortest_turn=float(turns.min()),
        longest_turn=float(turns.max()),
        coil_length=length,
        turns_length=length * coils,
        joint_end=joint,
        phase_end=PHASE_END,
        coil=_readings(layout, length + 2 * joint) if coils > 1 else None,
        series=_readings(layout, length * coils + ends),
        turns_only=alone,
        one_turn=alone.nominal / (winding.turns * coils),
        hidden_turns=(alone.most - alone.least) / 2 / alone.nominal * winding.turns,
        section_fill=winding.turns * wire.overall_area / (winding.width * winding.height),
        pull=WINDING_STRESS * wire.copper_area,
        stretching_pull=STRETCHING_STRESS * wire.copper_area,
        emf_rms=waveform(layout).rms,
        speed_rpm=layout.speed_rpm,
        frequency=layout.carrier.pole_pairs * layout.speed_rpm / 60,
    )


def coil_orders(layout: Layout) -> tuple[CoilOrder, ...]:
    """The coils in series order. Filaments run clockwise unless their coil is connected in reverse."""
    return tuple(
        CoilOrder(number=number, angle=angle, clockwise=sense > 0)
        for number, (angle, sense) in enumerate(coil_senses(layout), start=1)
    )


def _readings(layout: Layout, length: float) -> tuple[Resistance, ...]:
    return tuple(_reading(layout, length, temperature) for temperature in ROOM_TEMPERATURES)


def _reading(layout: Layout, length: float, temperature: float) -> Resistance:
    wire = layout.winding.wire
    least, most = wire.resistance_band
    nominal, low, high = (
        resistance_at(length * per_metre, temperature)
        for per_metre in (wire.resistance_per_metre, least, most)
    )
    return Resistance(temperature=temperature, nominal=nominal, least=low, most=high)
