"""The numbers to wind by and to check the winding with, all from the layout."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.coils.bundle import layer_count, turns_per_layer
from geometry.drawing.coil_drawing import joints_beyond_words
from geometry.machine.filaments import phase_turns
from geometry.machine.layout import Layout
from geometry.machine.leads import PHASE_END, leads, phase_ends, spare
from geometry.parts.skein import Skein, skein, wound_height
from geometry.stock.wire import resistance_at
from optimizer.building.phase_card import PhaseCard, coil_share, phase_card
from optimizer.building.wrong_magnet import WrongMagnet, wrong_magnet
from optimizer.evaluation.chain import Evaluation

ROOM_TEMPERATURES = (10.0, 20.0, 30.0)  # °C
WINDING_STRESS = 40e6  # Pa on the copper: a pull by hand that lays wire tight; common practice, no source
SKEIN_STRESS = 10e6  # Pa, enough to lay a skein straight; more, turn upon turn, would bend its posts; no source
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
    minimum: float
    maximum: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CoilOrder:
    """One coil in series order: its name and number in the phase from 1, polar angle of its middle (rad and degrees).

    layers: its own in a three-phase serpentine's stack, from 1 at the magnets; else none. clockwise: which way it
    is wound, seen as the template shows it, which is how the former lies cores or islands up.
    phase, side: from 0; the second side's template is the mirror image of the first one's.
    """

    number: int
    name: str
    angle: float
    angle_deg: float
    clockwise: bool
    layers: tuple[int, ...]
    phase: int
    side: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WindingCard:
    """What the winder needs. Lengths in m, resistances in Ω, angles in rad; of one phase where there are three.

    orders: all coils, phase by phase. phase_coils: how many make a phase. sides: of the carrier that have coils.
    sectored: whether coils stand side by side. halves: turns of the half bundles of interleaved phases, else empty.
    coil_emf: EMF of one coil. three: what three phases add. wrong: what a magnet the wrong way up leaves.
    face_to_face, attraction: of facing carriers, from magnet to magnet and how hard they pull, N; else None.
    layers: of each piece that is wound (two halves of an interleaved bundle), turns in each layer from the former's
    plate up. shortest_turn, longest_turn, coil_length, turns_length:
    of one turn, of all turns of a coil, of all coils of all phases, without ends. joint_end: left at each end of a coil
    that is joined to another; phase_end: left at the start and at the finish. coil, series: meter readings at
    the room temperatures, of one coil with its ends (None when there is only one) and of all in series with
    all ends; turns_only: at 20 °C without any end. one_turn: resistance of one mean turn at 20 °C.
    hidden_turns: a miscount in each coil that the standard's band can hide. section_fill: insulated wire over
    section. skein: what a serpentine is made from, else None. joints_beyond: how far wires run beyond the carrier, in
    words. pull, stretching_pull: N. emf_rms: open circuit, V at `speed_rpm`. frequency: Hz.
    """

    topology: str
    magnets: int
    turns: int
    wire_diameter: float
    overall_diameter: float
    enamel_grade: int
    bundle_width: float
    bundle_height: float
    layers: tuple[tuple[int, ...], ...]
    halves: tuple[int, ...]
    phase_coils: int
    sides: int
    sectored: bool
    orders: tuple[CoilOrder, ...]
    shortest_turn: float
    longest_turn: float
    coil_length: float
    turns_length: float
    ends_length: float
    joint_end: float
    phase_end: float
    coil: tuple[Resistance, ...] | None
    series: tuple[Resistance, ...]
    turns_only: Resistance
    one_turn: float
    hidden_turns: float
    section_fill: float
    skein: Skein | None
    joints_beyond: str
    pull: float
    stretching_pull: float
    emf_rms: float
    coil_emf: float
    three: PhaseCard | None
    wrong: WrongMagnet
    face_to_face: float | None
    attraction: float | None
    speed_rpm: float
    frequency: float

    @property
    def coils(self) -> int:
        """Number of coils."""
        return len(self.orders)

    @property
    def phases(self) -> int:
        """Number of phases."""
        return self.coils // self.phase_coils

    @property
    def joined(self) -> bool:
        """Whether coils of a phase are joined in series."""
        return self.phase_coils > 1

    @property
    def together(self) -> str:
        """How the coils are joined, in words that follow their number; empty for one coil alone."""
        sides = ", half of them on each side" if self.sides > 1 else ""
        alike = ", all alike" if len({coil.clockwise for coil in self.orders}) == 1 else ", all of one size"
        if self.three is None:
            return f"{alike}{sides}, in series" if self.joined else ""
        series = f", {self.phase_coils} in series in each phase" if self.joined else ", one for each phase"
        return f"{alike}{sides}{series}, the three phases in {self.three.connection}"

    @property
    def piece_turns(self) -> str:
        """Turns of what is wound in one piece: "40 turns", "9 turns in each half"."""
        if not self.halves:
            return f"{self.turns} turns"
        lower, upper = self.halves
        if lower == upper:
            return f"{lower} turns in each half"
        return f"{lower} turns in the lower half, {upper} in the upper"

    @property
    def wire_length(self) -> float:
        """Turns and ends, m."""
        return self.turns_length + self.ends_length

    @property
    def spool_length(self) -> float:
        """What to have before one begins: turns, ends and spare, m."""
        return self.wire_length + spare(self.wire_length)

    @property
    def pull_mass(self) -> float:
        """Mass in kg whose weight is the pull."""
        return self.pull / GRAVITY

    @property
    def cell_current(self) -> float:
        """Current in A that a fresh cell drives through a whole phase at 20 °C."""
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
    def stays(self) -> bool:
        """Whether the former stays behind the winding, its posts toward the magnets."""
        return self.face_to_face is None and (self.three is None or self.sectored)

    @property
    def senses(self) -> str:
        """The way coils are wound, seen as the template and the former show them, in words."""
        clockwise = [coil.clockwise for coil in self.orders]
        if len(set(clockwise)) == 1:
            return f"all {'clockwise' if clockwise[0] else 'counter-clockwise'}"
        if self.sides == 1 and self.three is None and clockwise == [coil.number % 2 == 1 for coil in self.orders]:
            return "odd coils clockwise, even coils counter-clockwise"
        return "clockwise or counter-clockwise as the list of coils says"

    @property
    def one_sense(self) -> bool:
        """Whether all coils of each phase are wound the same way."""
        return len({(coil.phase, coil.clockwise) for coil in self.orders}) == self.phases


def winding_card(machine: Evaluation) -> WindingCard:
    """The card of a machine; lengths are those of its filaments, resistances those of the wire standard."""
    layout, figures = machine.layout, machine.figures
    winding, wire = layout.winding, layout.winding.wire
    together = layout.topology.coils(layout.sectors)
    turns = layout.topology.turn_length(layout.envelope, phase_turns(layout)[0]) / together
    length, coils = float(turns.sum()), layout.coils // layout.phases
    joint = float(leads(layout).joint_end(winding.outer_radius))
    ends = phase_ends(layout)
    bundle = skein(layout)
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
        layers=_layers(layout),
        halves=layout.piece_turns if layout.pieces > 1 else (),
        phase_coils=coils,
        sides=layout.sides,
        sectored=layout.topology.concentrated,
        orders=coil_orders(layout),
        shortest_turn=float(turns.min()),
        longest_turn=float(turns.max()),
        coil_length=length,
        turns_length=length * layout.coils,
        ends_length=ends * layout.phases,
        joint_end=joint,
        phase_end=PHASE_END,
        coil=_readings(layout, length + 2 * joint) if coils > layout.sides else None,
        series=_readings(layout, length * coils + ends),
        turns_only=alone,
        one_turn=alone.nominal / (winding.turns * coils),
        hidden_turns=(alone.maximum - alone.minimum) / 2 / alone.nominal * winding.turns,
        section_fill=figures.fill_factor,
        skein=bundle,
        joints_beyond=joints_beyond_words(layout),
        pull=(SKEIN_STRESS if bundle else WINDING_STRESS) * wire.copper_area,
        stretching_pull=STRETCHING_STRESS * wire.copper_area,
        emf_rms=figures.emf_rms_V,
        coil_emf=figures.emf_rms_V * coil_share(layout),
        three=phase_card(machine.emf),
        wrong=wrong_magnet(machine.emf),
        face_to_face=layout.clear if layout.carrier.carriers > 1 else None,
        attraction=figures.attraction_N,
        speed_rpm=layout.speed_rpm,
        frequency=figures.frequency_Hz,
    )


def coil_orders(layout: Layout) -> tuple[CoilOrder, ...]:
    """The coils, phase by phase, in series order. Filaments run clockwise unless their coil is connected in reverse."""
    return tuple(
        CoilOrder(
            number=coil.number,
            name=coil.name,
            angle=coil.angle,
            angle_deg=coil.angle_deg,
            clockwise=coil.sense > 0,
            layers=layout.layers_of(phase),
            phase=phase,
            side=coil.side,
        )
        for phase in range(layout.phases)
        for members in layout.order.sides
        for coil in members[phase]
    )


def _layers(layout: Layout) -> tuple[tuple[int, ...], ...]:
    """Turns in each layer of each piece that is wound, from the former's plate up: from behind, where that stays."""
    width, height = layout.winding.width, wound_height(layout)
    counts = [turns_per_layer(turns, layer_count(turns, width, height)) for turns in layout.piece_turns if turns]
    behind = layout.carrier.carriers == 1 and not layout.stacked
    return tuple(tuple(map(int, reversed(part) if behind else part)) for part in counts)


def _readings(layout: Layout, length: float) -> tuple[Resistance, ...]:
    return tuple(_reading(layout, length, temperature) for temperature in ROOM_TEMPERATURES)


def _reading(layout: Layout, length: float, temperature: float) -> Resistance:
    wire = layout.winding.wire
    minimum, maximum = wire.resistance_band
    nominal, low, high = (
        resistance_at(length * per_metre, temperature)
        for per_metre in (wire.resistance_per_metre, minimum, maximum)
    )
    return Resistance(temperature=temperature, nominal=nominal, minimum=low, maximum=high)
