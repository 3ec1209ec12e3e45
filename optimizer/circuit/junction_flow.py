"""What flows from one phase or three through diodes that follow Shockley's law."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.diodes import Diode
from optimizer.circuit.flow import LARGEST_CAPACITOR, Flow, Smoothing, period
from optimizer.circuit.junction_steady import Half, steady_half
from optimizer.circuit.junctions import Junctions
from optimizer.circuit.load_point import Waves
from optimizer.circuit.thevenin import TheveninSource

FLOWS = 0.01  # share of the highest current from which the bridge is said to conduct


def junction_flow(
    source: TheveninSource, speed: float, diode: Diode,
    *, sink: float = 0.0, ohms: float = 0.0, capacitor: Smoothing | None = None,
) -> Flow:  # fmt: skip
    """Into a sink of constant volts and `ohms`, or a capacitor with its resistance; speed above zero."""
    bridge = _bridge(source, speed, diode, sink, ohms, capacitor)
    half = steady_half(bridge, lambda angle: _emf(source, speed, angle), _guess(bridge, sink))
    knee, mean = half.knee, half.mean
    terminals = mean(np.sum(knee.current**2, axis=1))
    rail_watts = mean(half.volts * knee.rail)
    given = mean(np.sum(knee.potential * knee.current, axis=1)) + terminals * diode.ohms
    return Flow(
        mean_current=mean(knee.rail),
        mean_square_current=mean(knee.rail**2),
        copper_square=source.winding_square(speed, terminals),
        volts=mean(half.volts),
        volts_square=mean(half.volts**2),
        conduction_ratio=mean(np.asarray(knee.rail > FLOWS * knee.rail.max(), np.float64)),
        waves=_waves(source, speed, diode, half),
        diode_watts=max(given - rail_watts, 0.0),
    )


def junction_charger(
    source: TheveninSource, speed: float, diode: Diode, ohms: float
) -> Callable[[float], float]:
    """Mean current in A into a sink of `ohms`, against its volts; each search starts from the one before."""
    last: list[Half] = []

    def charge(volts: float) -> float:
        bridge = _bridge(source, speed, diode, volts, ohms, None)
        start = last.pop() if last else None
        last.append(
            steady_half(bridge, lambda angle: _emf(source, speed, angle), _guess(bridge, volts), start)
        )
        return last[0].mean(last[0].knee.rail)

    return charge


def _bridge(
    source: TheveninSource, speed: float, diode: Diode, sink: float, ohms: float, capacitor: Smoothing | None
) -> Junctions:
    radians, arm = source.pole_pairs * speed, source.arm
    time = min(radians * capacitor.farads * capacitor.ohms, LARGEST_CAPACITOR) if capacitor else 0.0
    return Junctions(
        saturation=diode.saturation,
        slope=diode.slope,
        resistance=arm[0] + diode.ohms,
        reactance=radians * arm[1],
        ohms=capacitor.ohms if capacitor else ohms,
        sink=sink,
        time=time,
    )


def _emf(source: TheveninSource, speed: float, angle: Real) -> Real:
    """V of the arms at electrical angles (M,), (M, N)."""
    waves = np.exp(1j * np.multiply.outer(angle, source.orders)) @ source.star_constants.T
    return np.asarray(waves.imag * speed, np.float64)


def _guess(bridge: Junctions, sink: float) -> Callable[[Real], Real]:
    def volts(waves: Real) -> Real:
        share = bridge.ohms / (bridge.ohms + 2 * bridge.resistance)
        between: Real = np.ptp(waves, axis=1)
        if sink > 0:
            return np.full(between.shape, sink)
        return np.full(between.shape, 0.8 * share * float(between.max())) if bridge.time > 0 else share * between

    return volts


def _waves(source: TheveninSource, speed: float, diode: Diode, half: Half) -> Waves:
    """Over a whole period, on the angles that all waves have."""
    angle = period()
    within = angle[: angle.size // 2 + 1]

    def whole(values: Real, sign: float) -> Real:
        first = np.interp(within, half.angle, values)
        return np.concatenate((first, sign * first[1:]))

    knee = half.knee
    potential = knee.potential + diode.ohms * knee.current
    return Waves(
        angle=angle,
        emf=source.emf(angle / source.pole_pairs, speed),
        current=whole(knee.current[:, 0], -1.0),
        terminal_volts=whole(potential[:, 0] - potential[:, 1], -1.0),
        load_volts=whole(half.volts, 1.0),
    )
