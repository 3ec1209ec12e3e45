"""Coil shapes compared fairly: the same magnets in the same places, and one more thing made equal.

All shapes meet the carrier of the brief's best layout (magnet, count, pitch radius), its air gap and speed, and the
brief's fill factor, enamel, least corners and space. On top of that, one of `TERMS`:

- envelope: every winding may use the brief's whole annulus and height, with the best layout's wire and as much of it as
  it likes, and is the best it can be for power into a matched load (the measure that does not depend on the gauge).
- copper: every winding takes the same volume of copper, that of the best layout, in whatever wire of the brief's list
  is best for power.
- wire: every winding takes the same length of the same wire, the best layout's, and is the best it can be for EMF.

Copper and wire are those of turns, ends, joints and spare together, as one cuts them off the spool.

Turns are whole, so copper and wire are equal to within one turn of all coils; `Term.spread` tells how closely. A shape
that cannot take so much (its space is full, or more would do harm) lowers the measure for all, until all take it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import atan2, hypot, pi, sqrt
from typing import Any

import numpy as np

from geometry.curves.curve import Arc, Real
from geometry.machine.layout import Layout
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief
from optimizer.circuit.thevenin import TheveninSource
from optimizer.evaluation.copper import resistance, wire_length
from optimizer.evaluation.inductance import neumann_inductance
from optimizer.field.emf import MachineEmf, Waveform, machine_emf
from optimizer.jobs.chunks import HERE, Run
from optimizer.scan.choices import Candidate
from optimizer.scan.scan import scan_count
from optimizer.search.refine import best_entry, best_of
from optimizer.search.result import Entry
from optimizer.search.search import winner
from optimizer.surveys.sweeps import alike, flat_figures

ENDLESS = 1e6  # m of wire, when wire is no limit
ROUNDS = 6  # of lowering the measure until all shapes take it
WORTHY = 0.97  # of the best gauge's grid point: worth refining
CANCELLED = 1e-9  # share of the fundamental below which a harmonic is rounding
SHOWN_ORDERS = 9  # highest harmonic that is told apart
DIGITS = 6  # of saved figures
# of winding by hand
COIL = 30  # motions: set the former up, tie the coil, take it off and lay it in place
JOINT = 30  # strip, twist, solder, sleeve
CROSSING = 10  # sleeve the wire that crosses a coil's own start, and press it flat
SAMPLES = 720  # of the torque over half an electrical period


def wire_used(entry: Entry) -> float:
    """Wire of all phases together, ends, joints and spare included, m."""
    return entry.figures.wire_needed_m


def copper_used(entry: Entry) -> float:
    """Volume of the copper of all that wire, m³."""
    return wire_used(entry) * entry.layout.winding.wire.strand.copper_area


@dataclass(frozen=True, slots=True)
class _Equal:
    """How a term is searched: the goal, in any wire of the brief or the best layout's alone, what of each layout is
    equal, and the wire, m, that so much of it leaves of a gauge."""

    goal: str
    any_wire: bool
    used: Callable[[Entry], float]
    length: Callable[[float, Wire], float]

    def briefs(self, field: _Field, measure: float) -> list[Brief]:
        """The briefs within which every layout takes at most so much."""
        wires = field.brief.wires if self.any_wire else (field.best.layout.winding.wire,)
        free = replace(field.brief, goal=self.goal, resistance=None, spools=())
        return [replace(free, wires=(wire,), length=self.length(measure, wire)) for wire in wires]


_EQUALS = {
    "envelope": _Equal("power", False, lambda entry: 1.0, lambda one, wire: ENDLESS),
    "copper": _Equal("power", True, copper_used, lambda volume, wire: volume / wire.strand.copper_area),
    "wire": _Equal("emf_rms", False, wire_used, lambda length, wire: length),
}
TERMS = tuple(_EQUALS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How hard a winding is to wind, from what can be counted of the whole machine.

    turns: of all coils together; bends_per_turn: of one turn of one coil, 0 when round; joints: between coils in
    series; crossings: wires that cross a coil's own start.
    """

    coils: int
    turns: int
    bends_per_turn: int
    joints: int
    crossings: int

    @property
    def motions(self) -> int:
        """One score in hand motions of about two seconds: a pull of the wire around a bend, or a turn of the crank.

        The worth of a coil, a joint and a crossing in motions is our estimate, not taken from a source; the counts
        stand beside the score, so that anyone can weigh them otherwise.
        """
        winding = self.turns * (1 + self.bends_per_turn)
        return winding + self.coils * COIL + self.joints * JOINT + self.crossings * CROSSING


def winding_effort(layout: Layout) -> Effort:
    """The counts of a layout. A turn has a bend for each rounded corner of its path; a circular coil has none."""
    topology, sectors = layout.topology, layout.envelope.sectors
    halves = topology.halves(sectors)
    half_turn = topology.half_turn(layout.envelope, 0.0)
    bends = sum(isinstance(stretch, Arc) and not stretch.about_shaft for stretch in half_turn)
    return Effort(
        coils=layout.coils,
        turns=layout.coils * layout.winding.turns,
        bends_per_turn=halves * bends if topology.ring is None else 0,
        joints=layout.coils - layout.phases,
        crossings=sum(sense < 0 for sense in layout.order.senses),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeEntry:
    """One coil shape at its best under a term.

    name: see `shape_name`. emf_per_metre: V rms of a phase for each metre of its wire. emf_per_root_ohm: of the whole
    machine, V/√Ω, twice the root of its matched power, so that phases weigh alike. harmonics: between two terminals,
    order to share of the fundamental, signed, up to the ninth; distortion: of all together. inductance: of a phase, H;
    reactance: at the fundamental, Ω.
    torque: mean, N·m, and torque_ripple: peak to peak over the mean, each phase on a resistor of its own resistance.
    """

    name: str
    entry: Entry
    emf_per_metre: float
    emf_per_root_ohm: float
    harmonics: tuple[tuple[int, float], ...]
    distortion: float
    inductance: float
    reactance: float
    torque: float
    torque_ripple: float
    effort: Effort

    def row(self) -> dict[str, Any]:
        """Its figures, flat, units in the keys."""
        effort = self.effort
        added = {
            "emf_per_metre_V": self.emf_per_metre,
            "machine_emf_per_root_ohm": self.emf_per_root_ohm,
            "terminal_distortion": self.distortion,
            **{f"harmonic_{order}": share for order, share in self.harmonics},
            "inductance_mH": self.inductance * 1e3,
            "reactance_ohm": self.reactance,
            "torque_mNm": self.torque * 1e3,
            "torque_ripple": self.torque_ripple,
        }
        counted = {
            "total_turns": effort.turns,
            "bends_per_turn": effort.bends_per_turn,
            "joints": effort.joints,
            "crossings": effort.crossings,
            "hand_motions": effort.motions,
        }
        rounded = {name: float(f"{value:.{DIGITS}g}") for name, value in added.items()}
        return {**flat_figures(self.entry), **rounded, **counted}


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One comparison. equal: a name of `TERMS`; measure: what all have, m³ of copper or m of wire (None: envelope).

    spread: largest over smallest of it, less 1; shape_entries: in the brief's order; missing: shapes that do not fit.
    """

    equal: str
    measure: float | None
    spread: float
    shape_entries: tuple[ShapeEntry, ...]
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LikeForLike:
    """Coil shapes on one or more equal terms. best: the brief's best layout, whose carrier all shapes meet."""

    brief: Brief
    best: Entry
    terms: tuple[Term, ...]
    considered: int

    def rows(self) -> list[dict[str, Any]]:
        """A tidy table: one flat dictionary for each term and shape, all with the same keys."""
        return alike(
            {"equal": term.equal, "shape": each.name, **each.row()}
            for term in self.terms
            for each in term.shape_entries
        )


def compare_like_for_like(brief: Brief, equal: tuple[str, ...] = TERMS, run: Run = HERE) -> LikeForLike:
    """The brief's coil shapes on each of the `equal` terms, best carrier and all found by search.

    Raises ValueError for an unknown, doubled or missing term, NothingFits when nothing fits the brief.
    """
    if not equal or len(set(equal)) < len(equal) or not set(equal) <= set(TERMS):
        raise ValueError(
            f"equal must be distinct terms of {', '.join(TERMS)}, was {', '.join(equal) or 'none'}"
        )
    best, considered = winner(brief, run=replace(run, journal=None))
    field = _Field(brief, best)
    terms = [_term(field, name) for name in equal]
    return LikeForLike(
        brief=brief, best=best, terms=tuple(terms), considered=considered + sum(field.considered)
    )


class _Field:
    """The carrier that all shapes meet, scanned under changing limits; counts the layouts it has considered."""

    def __init__(self, brief: Brief, best: Entry) -> None:
        carrier = best.layout.carrier
        self.brief, self.best, self.pitch = brief, best, carrier.pitch_radius
        self.stock = next(at for at, stock in enumerate(brief.magnets) if stock.magnet == carrier.magnet)
        self.considered: list[int] = []

    def starts(self, limited: Brief) -> tuple[Candidate, ...]:
        """The grid's best winding of every shape under the limits of `limited`, best first."""
        (found,) = scan_count([limited], self.stock, self.best.layout.carrier.count, [self.pitch])
        self.considered.append(found.considered)
        return found.starts

    def best_of_each(self, briefs: Sequence[Brief]) -> dict[str, Entry]:
        """The best layout of every shape that fits, by name, within any of the briefs (of one goal)."""
        pairs = [(limited, start) for limited in briefs for start in self.starts(limited)]
        pairs.sort(key=lambda pair: -pair[1].value)
        bests = {
            name: self._best([
                pair for pair in pairs if shape_name(pair[1].family.topology.name, pair[1].family.phases) == name
            ])
            for name in shapes(self.brief)
        }
        return {name: best for name, best in bests.items() if best is not None}

    def _best(self, ranked: Sequence[tuple[Brief, Candidate]]) -> Entry | None:
        """The best layout that starts (best first) lead to; the less worthy ones only when no other can be built."""
        found: list[Entry] = []
        for limited, start in ranked:
            if found and start.value < WORTHY * ranked[0][1].value:
                break
            entry = best_of(limited, [start], self.pitch)
            found += [entry] if entry is not None else []
        return best_entry(ranked[0][0], found) if found else None


def _term(field: _Field, name: str) -> Term:
    """Every shape's best with the same measure of something, lowered until every shape takes it to within a turn."""
    equal, found = _EQUALS[name], dict[str, Entry]()
    measure = equal.used(field.best)
    for _ in range(ROUNDS):
        found = field.best_of_each(equal.briefs(field, measure * (1 + 1e-9)))
        taken = [(equal.used(entry), _turn_share(entry) * equal.used(entry)) for entry in found.values()]
        if all(amount + turn > measure for amount, turn in taken):
            break
        measure = min(amount for amount, _ in taken)
    amounts = [equal.used(entry) for entry in found.values()] or [1.0]
    return Term(
        equal=name,
        measure=None if name == "envelope" else measure,
        spread=max(amounts) / min(amounts) - 1,
        shape_entries=tuple(shape_entry(name, entry) for name, entry in found.items()),
        missing=tuple(shape for shape in shapes(field.brief) if shape not in found),
    )


def _turn_share(entry: Entry) -> float:
    """Share of all its wire that one turn of every coil takes; ends and joints are there once."""
    figures = entry.figures
    return figures.wire_length_m / (figures.wire_length_m + figures.wire_ends_m) / figures.layout.winding.turns


def shapes(brief: Brief) -> list[str]:
    """Names of all that compete: every coil shape, in every number of phases of the brief."""
    return [shape_name(name, phases) for phases in brief.phases for name in brief.topologies]


def shape_name(topology: str, phases: int) -> str:
    """The name a shape competes under: its own, and its phases when it has three."""
    return topology if phases == 1 else f"three-phase {topology}"


def shape_entry(name: str, entry: Entry) -> ShapeEntry:
    """One layout with all that a comparison shows, under a name."""
    emf = machine_emf(entry.layout)
    source, line = phase_thevenin(emf), emf.lines[0]
    speed = entry.layout.angular_speed
    harmonics = zip(line.orders.astype(int).tolist(), harmonic_shares(line).tolist(), strict=True)
    mean, ripple = resistive_torque(source, speed, source.resistance, entry.layout.phases)
    return ShapeEntry(
        name=name,
        entry=entry,
        emf_per_metre=entry.figures.emf_rms_V * entry.layout.phases / entry.figures.wire_length_m,
        emf_per_root_ohm=2 * sqrt(entry.figures.matched_power_W),
        distortion=line.distortion,
        harmonics=tuple((order, value) for order, value in harmonics if 1 < order <= SHOWN_ORDERS),
        inductance=source.inductance,
        reactance=2 * pi * source.frequency(speed) * source.inductance,
        torque=mean,
        torque_ripple=ripple,
        effort=winding_effort(entry.layout),
    )


def harmonic_shares(emf: Waveform) -> Real:
    """Ratios to the fundamental, (K,): positive of harmonics that rise with it from its zero, 0 where they cancel."""
    phasors = emf.amplitudes * np.exp(1j * emf.angles)
    aligned = phasors * np.exp(-1j * emf.orders * np.angle(phasors[0]))
    shares = np.copysign(np.abs(phasors), aligned.real) / abs(phasors[0])
    return np.where(np.abs(shares) > CANCELLED, shares, 0.0)


def phase_thevenin(emf: MachineEmf) -> TheveninSource:
    """The first phase of a machine, of however many, as a source of its own."""
    layout, wave = emf.layout, emf.phases[0]
    return TheveninSource(
        name=layout.title,
        pole_pairs=layout.carrier.pole_pairs,
        orders=wave.orders,
        flux_constants=wave.amplitudes / layout.angular_speed,
        resistance=resistance(layout, wire_length(layout)),
        inductance=neumann_inductance(layout),
    )


def resistive_torque(source: TheveninSource, speed: float, load: float, phases: int = 1) -> tuple[float, float]:
    """Mean torque in N·m, and its ripple (peak to peak over the mean), with every phase on its own resistor.

    source: one phase; speed: of the shaft, rad/s; load: Ω; phases: equal, evenly shifted. Every harmonic drives its own
    current through resistance and inductance; torque is the sum of torque constant times current.
    """
    angle = np.arange(2 * SAMPLES) * pi / SAMPLES  # electrical
    torque = np.zeros(angle.size)
    for phase in range(phases):
        shifted = np.multiply.outer(angle - 2 * pi * phase / phases, source.orders)
        ohms = source.resistance + load
        reactance = source.orders * source.pole_pairs * speed * source.inductance
        lag = np.array([atan2(x, ohms) for x in reactance])
        current = np.sin(shifted - lag) @ (
            speed * source.flux_constants / np.array([hypot(ohms, x) for x in reactance])
        )
        torque += current * (np.sin(shifted) @ source.flux_constants)
    return float(torque.mean()), float(np.ptp(torque) / torque.mean())
