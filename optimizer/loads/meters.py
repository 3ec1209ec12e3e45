"""What a meter shows on a waveform, kind by kind.

An average-responding meter takes the mean of the rectified voltage and prints it times the form factor of a sine,
π/(2√2) = 1.1107: right on a sine, wrong on anything else.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.speed import rad_s_of
from optimizer.circuit.diodes import Drop
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads import BridgeCapacitor
from optimizer.circuit.steady import steady_state
from optimizer.circuit.thevenin import TheveninSource
from optimizer.loads.load_curves import METER_OHMS, open_volts

FORM_FACTOR = pi / (2 * sqrt(2))
NOTHING = 1e-9  # of the mean of |v|: rounding


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
