"""Three phases at a steady speed: what flows behind six diodes, or through three resistances."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from geometry.curves.curve import Complex, Real
from optimizer.circuit.bridge_modes import LEAST_TIME
from optimizer.circuit.flow import LARGEST_CAPACITOR, ORDERS_KEPT, Flow, Smoothing, period
from optimizer.circuit.load_point import Waves
from optimizer.circuit.thevenin import TheveninSource
from optimizer.circuit.three_bridge import ThreeBridge
from optimizer.circuit.three_circuit import ThreePhaseInterval
from optimizer.circuit.three_paths import star_of


def circulating_square(source: TheveninSource, speed: float) -> float:
    """Mean square in A² of the current that runs around a delta by itself, load or not; zero in star."""
    around = star_of(np.asarray(source.flux_constants, complex), source.connection)[1] * speed
    inductance = source.inductance + 2 * source.mutual
    impedance = source.resistance + 1j * source.orders * source.pole_pairs * speed * inductance
    return float(np.sum(np.abs(around / impedance) ** 2) / 2)


def bridge_flow(
    source: TheveninSource, speed: float, drop: float,
    *, sink: float = 0.0, ohms: float = 0.0, capacitor: Smoothing | None = None,
) -> Flow:  # fmt: skip
    """Behind six diodes: a sink of constant volts and `ohms`, or a capacitor with its resistance; speed above zero."""
    bridge = _bridge(source, speed, sink + 2 * drop, ohms, capacitor)
    headroom = (source.peak_constant * speed - sink - 2 * drop) * 0.9
    guess = headroom * capacitor.ohms / (capacitor.ohms + 2 * bridge.resistance) if capacitor else 0.0
    stretches = bridge.steady(guess)
    mean, square = bridge.mean_square_volts(stretches) if capacitor else (0.0, 0.0)
    charge = bridge.means(stretches, lambda j, v, k: j)
    return Flow(
        charge=charge,
        square=bridge.means(stretches, lambda j, v, k: j * j),
        copper_square=winding_square(source, speed, bridge.mean_square_current(stretches)),
        volts=mean,
        volts_square=square,
        share=sum(s.end - s.start for s in stretches if s.path is not None) / bridge.span,
        waves=_waves(bridge, stretches, drop, sink),
        diode_watts=2 * drop * charge,
    )


def charger(source: TheveninSource, speed: float, ohms: float) -> Callable[[float], float]:
    """Mean current in A into a sink of `ohms`, against what holds it back in V; speed in rad/s."""
    free = _bridge(source, speed, 0.0, ohms)

    def charge(threshold: float) -> float:
        bridge = free.with_threshold(threshold)
        return bridge.means(bridge.steady(), lambda j, v, k: j)

    return charge


def resistor_flow(source: TheveninSource, speed: float, ohms: float) -> Flow:
    """Three equal resistances joined as the windings are, order by order."""
    share = source.resistance / source.arm[0]
    own, load = source.arm[0], ohms / share
    reactance = source.orders * source.pole_pairs * speed * source.arm[1]
    star = source.star_constants * speed
    star = star - star.mean(axis=0)
    phasors = star / (own + load + 1j * reactance)
    angle = period()
    currents = _waveform(phasors, source.orders, angle)
    volts = load * (currents[:, 0] - currents[:, 1])
    square = float(np.sum(np.abs(phasors) ** 2) / 2)
    across = load * currents[:, 0] if source.connection == "star" else volts
    emf = source.emf(angle / source.pole_pairs, speed)
    return Flow(
        charge=float(np.abs(currents[:-1, 0]).mean()),
        square=square / (3 * share),
        copper_square=winding_square(source, speed, square),
        volts=0.0,
        volts_square=0.0,
        share=1.0 if square else 0.0,
        waves=Waves(angle=angle, emf=emf, current=currents[:, 0], terminal_volts=volts, load_volts=across),
    )


def winding_square(source: TheveninSource, speed: float, terminals: float) -> float:
    """Sum of the mean squares of the three windings' currents, A², from that of the terminals'."""
    if source.connection == "star":
        return terminals
    return terminals / 3 + 3 * circulating_square(source, speed)


def _bridge(
    source: TheveninSource, speed: float, threshold: float, ohms: float = 0.0, capacitor: Smoothing | None = None
) -> ThreeBridge:
    star = source.star_constants
    size = np.abs(star).max(axis=0)
    kept = size > ORDERS_KEPT * size.max()
    radians, (resistance, inductance) = source.pole_pairs * speed, source.arm
    return ThreeBridge(
        orders=source.orders[kept],
        amplitudes=star[:, kept] * speed,
        resistance=resistance,
        reactance=max(radians * inductance, LEAST_TIME * resistance),
        threshold=threshold,
        ohms=ohms,
        susceptance=min(radians * capacitor.farads, LARGEST_CAPACITOR / capacitor.ohms) if capacitor else 0.0,
        conductance=1 / capacitor.ohms if capacitor else 0.0,
    )


def _waves(bridge: ThreeBridge, stretches: list[ThreePhaseInterval], drop: float, sink: float) -> Waves:
    """The first terminal's current, and the volts between the first two and at the load."""
    angle = period()
    currents, total, held = bridge.sampled(stretches, angle)
    load = sink + bridge.ohms * total + held
    star = bridge.emf(angle)
    conducting = np.sign(currents)
    potential = conducting * (load + 2 * drop)[:, None] / 2
    free = conducting == 0
    middle = _middle(star, conducting)
    potential[free] = (star - middle[:, None])[free]
    return Waves(
        angle=angle,
        emf=star[:, 0] - star[:, 1],
        current=currents[:, 0],
        terminal_volts=potential[:, 0] - potential[:, 1],
        load_volts=load,
    )


def _middle(star: Real, conducting: Real) -> Real:
    """Mean EMF (M,) of the terminals that conduct, of all where none does."""
    on = np.abs(conducting)
    on[~on.any(axis=1)] = 1
    return (star * on).sum(axis=1) / on.sum(axis=1)


def _waveform(phasors: Complex, orders: Real, angle: Real) -> Real:
    """(M, 3) of complex amplitudes (3, K)."""
    return (np.exp(1j * np.outer(angle, orders)) @ phasors.T).imag
