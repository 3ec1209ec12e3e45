"""The numbers to wind by and to check the winding with; of three phases also those of their joint.

Turning one magnet over, the wrong way up, takes away twice what it gives. Over a whole turn of the disc a coil's EMF
then is that of the right machine less twice the pulse of one magnet; a phase adds up its coils, each at its own angle.
Where there is one coil per pole, all in series, every magnet gives the same share to the sum: it is lower by two of N
at every instant (with facing carriers by about one), and its half-waves stay equal; so with a serpentine. A coil alone
misses half-waves where the magnets stand close; where they stand apart only the order of its half-waves is another.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import numpy as np

from geometry.coils.bundle import layer_count, turns_per_layer
from geometry.coils.series_order import SeriesCoil
from geometry.curves.curve import Complex
from geometry.drawing.coil_drawing import joint_words, joints_beyond_words, stacking_words
from geometry.machine.filaments import leads, phase_ends, phase_turns, spare
from geometry.machine.layout import Layout
from geometry.parts.skein import Skein, skein, wound_height
from geometry.stock.wire import resistance_at
from optimizer.evaluation.chain import Evaluation, Figures
from optimizer.field.emf import MachineEmf, magnet_emf

EVEN = 0.02  # of a whole wave; below it nobody sees what differs from half-wave to half-wave
SAMPLED = 8  # samples for each order
ROOM_TEMPERATURES = (10.0, 20.0, 30.0)  # °C
WINDING_STRESS = 40e6  # Pa on the copper: a pull by hand that lays wire tight; common practice, no source
SKEIN_STRESS = 10e6  # Pa, enough to lay a skein straight; more, turn upon turn, would bend its posts; no source
STRETCHING_STRESS = (
    70e6  # Pa at which annealed copper begins to stretch for good; textbook value, from memory
)
CELL = 1.5  # V, of the cell that finds a reversed coil
CIRCULATING = 0.05  # of a phase's EMF; more across the open delta heats it when it is closed


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongMagnet:
    """Ratios of readings with one magnet the wrong way up to those of the right machine.

    coil, coil_mean: of every coil alone, RMS and mean of the rectified wave, which a simple meter goes by.
    phases: of each phase, RMS. even: whether all half-waves of a phase stay equal.
    """

    coil: float
    coil_mean: float
    phases: tuple[float, ...]
    even: bool


def wrong_magnet(emf: MachineEmf) -> WrongMagnet:
    """Of a machine; which magnet it is makes no difference."""
    layout = emf.layout
    coils = [_coil(emf, level) for level in range(layout.levels)]
    spread = [_spread(layout, phase, coils[0][0].size) for phase in range(layout.phases)]
    waves = [coils[phase if layout.stacked else 0] for phase in range(layout.phases)]
    phases = [(right * turned, wrong * turned) for (right, wrong), turned in zip(waves, spread, strict=True)]
    irregular = coils[0][0] == 0
    right, wrong = coils[0]
    return WrongMagnet(
        coil=_length(wrong) / _length(right),
        coil_mean=_mean(wrong) / _mean(right),
        phases=tuple(_length(spoilt) / _length(whole) for whole, spoilt in phases),
        even=all(_length(spoilt[irregular]) < EVEN * _length(whole) for whole, spoilt in phases),
    )


def _coil(emf: MachineEmf, phase: int) -> tuple[Complex, Complex]:
    """One coil's EMF by order of the turn, from 1, V: as it should be, and with one magnet turned over."""
    layout, wave = emf.layout, emf.coils[phase]
    orders, pulse = magnet_emf(layout, phase)
    right = np.zeros(orders.size, complex)
    right[(wave.orders * layout.carrier.pole_pairs).astype(int) - 1] = wave.amplitudes
    if not layout.topology.concentrated:
        pulse[right == 0] = (
            0  # the legs of a serpentine cancel what does not change its sign from pole to pole
        )
    return right, np.asarray(right - 2 * pulse, complex)


def _spread(layout: Layout, phase: int, count: int) -> Complex:
    """The sum of a phase's coils over one of them, by order of the turn from 1 to `count`."""
    axes, members = layout.order.axes, layout.order.members[phase]
    angles = np.array([axes[index] for index, _ in members])
    senses = np.array([sense for _, sense in members], float)
    return np.asarray(np.exp(-1j * np.outer(np.arange(1, count + 1), angles)) @ senses, complex)


def _length(wave: Complex) -> float:
    return float(np.linalg.norm(wave))


def _mean(wave: Complex) -> float:
    """Of the rectified wave over a turn, of sines with these amplitudes."""
    samples = np.fft.irfft(np.concatenate([[0], -1j * wave]), SAMPLED * wave.size)
    return float(np.abs(samples).mean()) * samples.size / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Resistance:
    """What a meter should show at one temperature (°C), Ω: nominal, least and most by the wire standard."""

    temperature: float
    nominal: float
    minimum: float
    maximum: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseCard:
    """Three phases joined in star or delta. EMFs open circuit, V rms at the layout's speed.

    joint: how they are joined; stacking: how the bundles lie over each other, empty for coils side by side.
    emfs: of each phase alone; bundles farther from the magnets give less. lines: between the pairs of terminals AB, BC,
    CA once the phases are joined: without what runs around a closed delta.
    line_share: resistance between two terminals over that of a phase.
    one_reversed: least and most that a phase gives with one of its coils the wrong way round. phase_reversed: likewise
    of the pairs of terminals that show a phase the wrong way round, in star. open_corner: across the last joint of a
    delta before it is closed; open_corner_reversed: at least, with one phase the wrong way round.
    """

    connection: str
    joint: str
    stacking: str
    emfs: tuple[float, ...]
    lines: tuple[float, ...]
    line_share: float
    one_reversed: tuple[float, float]
    phase_reversed: tuple[float, float]
    open_corner: float
    open_corner_reversed: float

    @property
    def star(self) -> bool:
        """Whether the phases are joined in star."""
        return self.connection == "star"

    @property
    def circulates(self) -> bool:
        """Whether a closed delta drives a current worth speaking of around itself."""
        return not self.star and self.open_corner > CIRCULATING * max(self.emfs)


@dataclass(frozen=True, slots=True, kw_only=True)
class WindingCard:
    """What the winder needs of a machine. Lengths in m, resistances in Ω; of one phase where there are three.

    layers: of each piece that is wound (two halves of an interleaved bundle), turns in each layer from the former's
    plate up. shortest_turn, longest_turn, coil_length, turns_length: of one turn, of all turns of a coil, of all coils
    of all phases, without ends. joint_end: left at each end of a coil that is joined to another. coil, series: meter
    readings at the room temperatures, of one coil with its ends (None when there is only one) and of all in series with
    all ends; turns_only: at 20 °C without any end. one_turn: resistance of one mean turn at 20 °C. hidden_turns: a
    miscount in each coil that the standard's band can hide. skein: what a serpentine is made from, else None.
    joints_beyond: how far wires run beyond the carrier, in words. pull, stretching_pull: N. coil_emf: of one coil, V.
    three: what three phases add. wrong: what a magnet the wrong way up leaves. face_to_face: of facing carriers, from
    magnet to magnet, else None.
    """

    machine: Evaluation
    layers: tuple[tuple[int, ...], ...]
    shortest_turn: float
    longest_turn: float
    coil_length: float
    turns_length: float
    ends_length: float
    joint_end: float
    coil: tuple[Resistance, ...] | None
    series: tuple[Resistance, ...]
    turns_only: Resistance
    one_turn: float
    hidden_turns: float
    skein: Skein | None
    joints_beyond: str
    pull: float
    stretching_pull: float
    coil_emf: float
    three: PhaseCard | None
    wrong: WrongMagnet
    face_to_face: float | None

    @property
    def layout(self) -> Layout:
        """The machine as it is built."""
        return self.machine.layout

    @property
    def figures(self) -> Figures:
        """What it does."""
        return self.machine.figures

    @property
    def orders(self) -> list[SeriesCoil]:
        """All coils, phase by phase in series order; those of a carrier's second side as seen from there."""
        sides = self.layout.order.sides
        return [coil for phase in range(self.layout.phases) for members in sides for coil in members[phase]]

    @property
    def sectored(self) -> bool:
        """Whether coils stand side by side."""
        return self.layout.topology.concentrated

    @property
    def joined(self) -> bool:
        """Whether coils of a phase are joined in series."""
        return self.layout.coils > self.layout.phases

    @property
    def halved(self) -> bool:
        """Whether a phase's bundle is wound in two halves."""
        return self.layout.pieces > 1

    @property
    def wire_length(self) -> float:
        """Turns and ends, m."""
        return self.turns_length + self.ends_length

    @property
    def spool_length(self) -> float:
        """What to have before one begins: turns, ends and spare, m."""
        return self.wire_length + spare(self.wire_length)

    @property
    def cell_current(self) -> float:
        """Current in A that a fresh cell drives through a whole phase at 20 °C."""
        return CELL / self.series[1].nominal

    def emf_with_reversed(self, reversed_coils: int) -> float:
        """EMF in V rms when so many coils work against the others."""
        coils = self.layout.coils
        return self.figures.emf_rms_V * abs(coils - 2 * reversed_coils) / coils

    @property
    def stays(self) -> bool:
        """Whether the former stays behind the winding, its posts toward the magnets."""
        return self.face_to_face is None and (self.three is None or self.sectored)

    @property
    def one_sense(self) -> bool:
        """Whether all coils of each phase are wound the same way."""
        return len({(coil.phase, coil.sense) for coil in self.orders}) == self.layout.phases


def winding_card(machine: Evaluation) -> WindingCard:
    """The card of a machine; lengths are those of its filaments, resistances those of the wire standard."""
    layout = machine.layout
    winding, wire = layout.winding, layout.winding.wire
    together = layout.topology.coils(layout.sectors)
    turns = layout.topology.turn_length(layout.envelope, phase_turns(layout)[0]) / together
    length, coils = float(turns.sum()), layout.coils // layout.phases
    joint = float(leads(layout).joint_end(winding.outer_radius))
    ends = phase_ends(layout)
    bundle = skein(layout)
    alone = _reading(layout, length * coils, 20.0)
    return WindingCard(
        machine=machine,
        layers=_layers(layout),
        shortest_turn=float(turns.min()),
        longest_turn=float(turns.max()),
        coil_length=length,
        turns_length=length * layout.coils * wire.strands,
        ends_length=ends * layout.phases * wire.strands,
        joint_end=joint,
        coil=_readings(layout, length + 2 * joint) if coils > layout.sides else None,
        series=_readings(layout, length * coils + ends),
        turns_only=alone,
        one_turn=alone.nominal / (winding.turns * coils),
        hidden_turns=(alone.maximum - alone.minimum) / 2 / alone.nominal * winding.turns,
        skein=bundle,
        joints_beyond=joints_beyond_words(layout),
        pull=(SKEIN_STRESS if bundle else WINDING_STRESS) * wire.copper_area,
        stretching_pull=STRETCHING_STRESS * wire.copper_area,
        coil_emf=machine.figures.emf_rms_V * coil_share(layout),
        three=phase_card(machine.emf),
        wrong=wrong_magnet(machine.emf),
        face_to_face=layout.clear if layout.carrier.carriers > 1 else None,
    )


def _layers(layout: Layout) -> tuple[tuple[int, ...], ...]:
    """Turns in each layer of each piece that is wound, from the former's plate up: from behind, where that stays."""
    section = layout.winding.width, wound_height(layout), layout.winding.wire.strands
    counts = [turns_per_layer(turns, layer_count(turns, *section)) for turns in layout.piece_turns if turns]
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


def phase_card(emf: MachineEmf) -> PhaseCard | None:
    """The card of three phases; None when there is only one."""
    layout = emf.layout
    if layout.phases == 1:
        return None
    a, b, c = (np.asarray(wave.amplitudes * np.exp(1j * wave.angles), complex) for wave in emf.phases)
    star = layout.winding.connection == "star"
    sums = [_rms(a + b), _rms(b + c), _rms(c + a)]
    return PhaseCard(
        connection=layout.winding.connection,
        joint=joint_words(layout),
        stacking=stacking_words(layout) if layout.stacked else "",
        emfs=tuple(wave.rms for wave in emf.phases),
        lines=tuple(line.rms for line in emf.lines),
        line_share=2.0 if star else 2 / 3,
        one_reversed=_one_reversed(layout, emf.phases[0].rms),
        phase_reversed=(min(sums), max(sums)),
        open_corner=_rms(a + b + c),
        open_corner_reversed=min(_rms(a + b - c), _rms(a - b + c), _rms(b + c - a)),
    )


def coil_share(layout: Layout) -> float:
    """The EMF of one coil over that of its phase, a ratio, by the fundamental: coils of a phase may be out of step."""
    return 1 / abs(_phasors(layout).sum())


def _phasors(layout: Layout) -> Complex:
    """The fundamental EMFs of a phase's coils, both sides, each of length 1."""
    members = layout.order.members[0] * layout.sides
    turned = np.array([layout.order.axes[index] for index, _ in members]) * layout.carrier.pole_pairs
    return np.array([sense for _, sense in members]) * np.exp(-1j * turned)


def _one_reversed(layout: Layout, emf_rms: float) -> tuple[float, float]:
    phasors = _phasors(layout)
    left = np.abs(phasors.sum() - 2 * phasors) / abs(phasors.sum()) * emf_rms
    return float(left.min()), float(left.max())


def _rms(phasors: Complex) -> float:
    return float(sqrt(0.5 * np.sum(np.abs(phasors) ** 2)))
