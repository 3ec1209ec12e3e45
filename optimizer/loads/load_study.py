"""A layout with a load, in one value: the source, the load point, the curves, the meters, the wire that suits.

An average-responding meter takes the mean of the rectified voltage and prints it times the form factor of a sine,
π/(2√2) = 1.1107: right on a sine, wrong on anything else.

Volts² per ohm does not depend on the gauge: thinner wire gives more turns, volts in proportion and ohms by the square.
The EMF of a turn, and the inductance per turn², are taken from the layout's own winding (they move by less than a
per cent with the number of turns); the resistance follows each wire exactly.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import pi, sqrt
from typing import Any

import numpy as np

from geometry.coils.bundle import cell_clearance, max_turns
from geometry.curves.curve import Real
from geometry.machine.layout import Layout
from geometry.machine.speed import rad_s_of, rpm_of
from geometry.stock.wire import USUAL_MM, Wire, resistance_at
from optimizer.circuit.diodes import SILICON, Drop
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads import BridgeCapacitor, Load
from optimizer.circuit.loads.load import steady_state
from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.evaluation.chain import Evaluation, Figures, evaluation
from optimizer.evaluation.copper import WireLosses, resistance, wire_length, wire_losses
from optimizer.evaluation.inductance import Formula, Inductances, coil_formula, inductances
from optimizer.evaluation.thermal import Warming, bearable_current, phase_current, warming
from optimizer.jobs.documents import rounded
from optimizer.loads.electromagnetic_torque import cut_in_speed
from optimizer.loads.hazards import Hazard, heat_hazards, load_hazards, turning_layout
from optimizer.loads.load_curves import (
    METER_OHMS,
    Draw,
    LoadCurve,
    load_curve,
    open_volts,
    speed_curve,
    steady_draw,
)

ALIKE = 0.01  # relative; what differs by less is told as a tie, and is no reason to wind anew
SAME = 1e-3  # relative; loads served so alike are told apart by the reserve
FORM_FACTOR = pi / (2 * sqrt(2))
NOTHING = 1e-9  # of the mean of |v|: rounding
FASTER = 2.0  # the speed curve goes to so many times the speed


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WireChoice:
    """The bundle filled with one wire: turns per coil, length in m, EMF in V rms (of three
    phases between two terminals), resistance of a phase and between two terminals in Ω, load point.

    reserve: what the load would get if it took all that it is given, W.
    """

    wire: Wire
    turns: int
    length: float
    emf_rms: float
    resistance: float
    terminal_resistance: float
    point: LoadPoint
    reserve: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Matching:
    """All wires of a list, thinnest first, the place of the one that serves the load best, and the copper's °C."""

    choices: tuple[WireChoice, ...]
    best: int
    temperature: float

    @property
    def chosen(self) -> WireChoice:
        """The wire that gives the load the most; of those that give a converter all it takes, that of most reserve."""
        return self.choices[self.best]

    @property
    def alike(self) -> tuple[WireChoice, ...]:
        """All wires that give the load as much as the chosen one within 1 %, thinnest first, that one among them."""
        maximum = max(choice.point.load_watts for choice in self.choices)
        return tuple(c for c in self.choices if c.point.load_watts >= maximum * (1 - ALIKE))


def standard_wires(grade: int) -> tuple[Wire, ...]:
    """Every usual standard size of one grade of enamel, thinnest first."""
    return tuple(Wire(diameter=size * 1e-3, grade=grade) for size in USUAL_MM)


def match_wire(
    layout: Layout,
    source: TheveninSource,
    load: Load,
    *,
    speed_rpm: float,
    temperature: float,
    wires: tuple[Wire, ...],
) -> Matching:
    """The layout's bundle filled with each of `wires`, at `speed_rpm` and the copper's `temperature`, °C.

    Raises ValueError when none of them fits even once.
    """
    choices: list[WireChoice] = []
    for wire in sorted(wires, key=lambda w: w.diameter):
        wound = _filled(layout, wire)
        if wound is not None:
            choices.append(_choice(layout, wound, source, (load, speed_rpm, temperature)))
    if not choices:
        raise ValueError("a wire must fit the bundle at least once, none did")
    watts = np.array([choice.point.load_watts for choice in choices])
    reserve = np.array([choice.reserve for choice in choices])
    best = int(np.argmax(np.where(watts >= watts.max() * (1 - SAME), reserve, -1.0)))
    return Matching(choices=tuple(choices), best=best, temperature=temperature)


def _filled(layout: Layout, wire: Wire) -> Layout | None:
    """The layout with as many turns of `wire` as its bundle takes, and find their places."""
    winding = layout.winding
    section, pieces = (winding.width, winding.height), layout.pieces
    turns = int(max_turns(*section, wire, winding.fill_factor, pieces))
    while turns > 1 and cell_clearance(turns, *section, wire, pieces) < -1e-9:
        turns -= 1
    return replace(layout, winding=replace(winding, wire=wire, turns=turns)) if turns else None


def _choice(layout: Layout, wound: Layout, source: TheveninSource, use: tuple[Load, float, float]) -> WireChoice:
    load, speed_rpm, temperature = use
    ratio = wound.winding.turns / layout.winding.turns
    length = wire_length(wound)
    cold = resistance(wound, length)
    drawn = wound.winding.wire.diameter / layout.winding.wire.diameter
    scaled = replace(
        source,
        flux_constants=source.flux_constants * ratio,
        resistance=resistance_at(cold, temperature),
        inductance=source.inductance * ratio**2,
        mutual=source.mutual * ratio**2,
        eddy=source.eddy * drawn**4 * length / wire_length(layout) / layout.winding.wire.strands,
    )
    point = steady_state(scaled, load, speed_rpm)
    return WireChoice(
        wire=wound.winding.wire,
        turns=wound.winding.turns,
        length=length,
        emf_rms=scaled.emf_constant * rad_s_of(speed_rpm),
        resistance=scaled.resistance,
        terminal_resistance=scaled.terminal_resistance,
        point=point,
        reserve=steady_state(scaled, load.unlimited, speed_rpm).load_watts if point.full else point.load_watts,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """V. On one voltage: what an average-responding, a true-RMS and a DC meter show, and the peak on a scope."""

    average_responding: float
    true_rms: float
    direct: float
    peak: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterTable:
    """What meters show at one speed.

    open_circuit: on the free winding. behind_bridge: a DC meter behind a bridge, nothing else connected, V.
    behind_capacitor: the same with a smoothing capacitor, V. winding, load: with the load on, at the winding and at
    the load.
    """

    open_circuit: Readings
    behind_bridge: float
    behind_capacitor: float
    winding: Readings
    load: Readings


def readings(volts: Real) -> Readings:
    """Of a waveform over one whole period, (M,), V, evenly spaced, the last sample repeating the first."""
    mean = np.trapezoid(np.abs(volts)) / (volts.size - 1)
    direct = float(np.trapezoid(volts) / (volts.size - 1))
    return Readings(
        average_responding=float(FORM_FACTOR * mean),
        true_rms=float(np.sqrt(np.trapezoid(volts**2) / (volts.size - 1))),
        direct=direct if abs(direct) > NOTHING * mean else 0.0,
        peak=float(np.abs(volts).max()),
    )


def meter_table(source: TheveninSource, point: LoadPoint, drop: Drop) -> MeterTable:
    """What meters show at the point's speed; `drop` of each diode of the bridge."""
    free = source.emf(point.waves.angle / source.pole_pairs, rad_s_of(point.speed_rpm))
    smoothed = steady_state(source, BridgeCapacitor(ohms=METER_OHMS, farads=1e-3, drop=drop), point.speed_rpm)
    return MeterTable(
        open_circuit=readings(free),
        behind_bridge=open_volts(source, point.speed_rpm, drop),
        behind_capacitor=smoothed.dc_volts,
        winding=readings(point.waves.terminal_volts),
        load=readings(point.waves.load_volts),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LoadStudy:
    """Everything that `polepitch load` shows.

    figures: of the machine. temperature: of the copper, °C. cut_in_rpm: where output begins. details: what this kind
    of load alone has to say.
    """

    figures: Figures
    load: Load
    temperature: float
    source: TheveninSource
    inductances: Inductances
    formula: Formula
    losses: WireLosses
    point: LoadPoint
    details: Mapping[str, Any]
    cut_in_rpm: float
    warming: Warming
    meters: MeterTable
    curve: LoadCurve | None
    draw: Draw | None
    speeds: tuple[LoadPoint, ...]
    matching: Matching

    @property
    def layout(self) -> Layout:
        """The machine as it is built."""
        return self.figures.layout

    @property
    def reactance(self) -> float:
        """Ω, of the fundamental at the point's speed; of a phase among its fellows."""
        return 2 * pi * self.point.frequency_Hz * (self.source.inductance - self.source.mutual)

    @property
    def hazards(self) -> tuple[Hazard, ...]:
        """What bites with this load at this speed."""
        rpm = self.point.speed_rpm
        peak = self.source.peak_constant * rad_s_of(rpm)
        turning = turning_layout(self.layout, rpm, peak)
        heat = heat_hazards(self.layout, self.point.copper_watts, self.temperature)
        return *turning.hazards, *heat, *load_hazards(self.load, peak, rpm, self.point.dc_volts, self.point.dc_amps)

    @property
    def bearable_amps(self) -> float:
        """RMS current in each phase, A, that the enamel bears all the time."""
        return bearable_current(self.layout)

    @property
    def burns(self) -> bool:
        """Whether the copper's own heat is more than its enamel bears, so that no final warmth can be told."""
        return phase_current(self.layout, self.point.copper_watts, self.temperature) > self.bearable_amps

    @property
    def around_watts(self) -> float:
        """W that a current around a delta loses in the copper, load or not; zero otherwise."""
        return 3 * self.source.circulating_square(rad_s_of(self.point.speed_rpm)) * self.source.resistance

    def rows(self) -> list[dict[str, Any]]:
        """A tidy table: the load at rising speed, one flat dictionary for each speed."""
        return [
            point_values(point, self.load.details(self.source, point)) for point in self.speeds
        ]


def study_load(
    layout: Layout,
    load: Load,
    *,
    speed_rpm: float | None = None,
    temperature: float = 20.0,
    machine: Evaluation | None = None,
) -> LoadStudy:
    """The layout with the load at `speed_rpm` (its own when None, above zero), copper at `temperature` in °C.

    machine: the layout's evaluation, where it is made already.
    """
    machine = machine or evaluation(layout)
    rpm = layout.speed_rpm if speed_rpm is None else speed_rpm
    source = thevenin_of(layout, temperature, machine.emf)
    point = steady_state(source, load, rpm)
    drop = SILICON if load.bridge is None else load.bridge
    grade = layout.winding.wire.grade
    curve = load_curve(source, load, rpm)
    return LoadStudy(
        figures=machine.figures,
        load=load,
        temperature=temperature,
        source=source,
        inductances=inductances(layout),
        formula=coil_formula(layout),
        losses=wire_losses(layout, rpm),
        point=point,
        details=load.details(source, point),
        cut_in_rpm=rpm_of(cut_in_speed(source, load)),
        warming=warming(layout, point.copper_watts + point.eddy_watts),
        meters=meter_table(source, point, drop),
        curve=curve,
        draw=steady_draw(source, load, curve, rpm),
        speeds=speed_curve(source, load, FASTER * rpm),
        matching=match_wire(
            layout, source, load, speed_rpm=rpm, temperature=temperature, wires=standard_wires(grade)
        ),
    )


def point_values(point: LoadPoint, details: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """A load point for JSON, without its waveforms; details: what its kind of load alone has to say."""
    numbers = {
        "speed_rpm": point.speed_rpm,
        "frequency_Hz": point.frequency_Hz,
        "dc_V": point.dc_volts,
        "dc_A": point.dc_amps,
        "load_W": point.load_watts,
        "shaft_W": point.shaft_watts,
        "copper_W": point.copper_watts,
        "diode_W": point.diode_watts,
        "converter_W": point.converter_watts,
        "eddy_W": point.eddy_watts,
        "efficiency": point.efficiency,
        "winding_rms_A": point.current_rms,
        "conducting_share": point.conducting_share,
        "shaft_torque_Nm": point.torque,
    }
    return {**rounded(numbers), **rounded(dict(details or {})), "starts": point.starts, "full": point.full}
