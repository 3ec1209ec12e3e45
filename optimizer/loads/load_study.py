"""A layout with a load, in one value: the source, the load point, the curves, the meters, the wire that suits.

An average-responding meter takes the mean of the rectified voltage and prints it times the form factor of a sine,
π/(2√2) = 1.1107: right on a sine, wrong on anything else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi, sqrt
from typing import Any

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.layout import Layout
from geometry.machine.speed import rad_s_of, rpm_of
from optimizer.circuit.diodes import SILICON, Drop
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads import BridgeCapacitor, Load
from optimizer.circuit.loads.load import steady_state
from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.evaluation.chain import Evaluation, evaluation
from optimizer.evaluation.copper import WireLosses, wire_losses
from optimizer.evaluation.figures import Figures
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
from optimizer.loads.matching import Matching, match_wire, standard_wires

FORM_FACTOR = pi / (2 * sqrt(2))
NOTHING = 1e-9  # of the mean of |v|: rounding
FASTER = 2.0  # the speed curve goes to so many times the speed


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
