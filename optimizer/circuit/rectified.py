"""What flows behind a bridge at a steady speed, whatever feeds it.

Alternating sources are solved in their periodic steady state with every harmonic and the inductance (`bridge`, of three
phases `steady_three`). Diodes drop a constant voltage while they conduct, or follow Shockley's law (`junction_flow`).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from optimizer.circuit.bridge import Bridge, ConductionInterval, conducting_share, sampled
from optimizer.circuit.diodes import Diode, Drop, constant_volts
from optimizer.circuit.flow import (
    HALF,
    LARGEST_CAPACITOR,
    ORDERS_KEPT,
    Flow,
    Smoothing,
    period,
    steady_current,
)
from optimizer.circuit.junction_flow import junction_charger, junction_flow
from optimizer.circuit.load_point import Waves
from optimizer.circuit.steady_three import bridge_flow, charger, winding_square
from optimizer.circuit.thevenin import TheveninSource


def charging_current(
    source: TheveninSource, speed: float, drop: Drop, ohms: float = 0.0
) -> Callable[[float], float]:
    """Mean current in A into a sink of `ohms`, against the volts that it holds; speed in rad/s."""
    if isinstance(drop, Diode):
        return junction_charger(source, speed, drop, ohms)
    held = 2 * drop
    if source.connection:
        charge_three = charger(source, speed, ohms)
        return lambda volts: charge_three(volts + held)
    if source.kind == "commutated":
        return lambda volts: max(source.emf_constant * speed - volts - held, 0.0) / (source.resistance + ohms)
    free = _bridge(source, speed, ohms, 0.0)

    def charge(volts: float) -> float:
        bridge = free.with_threshold(volts + held)
        return bridge.means(bridge.steady(), lambda j, v, e: j)

    return charge


def idle_flow(source: TheveninSource, speed: float, held: float = 0.0) -> Flow:
    """No current; `held` volts at the load."""
    angle = period()
    emf, zero = source.emf(angle / source.pole_pairs, speed), np.zeros_like(angle)
    waves = Waves(angle=angle, emf=emf, current=zero, terminal_volts=emf, load_volts=zero + held)
    around = winding_square(source, speed, 0.0) if source.connection else 0.0
    return Flow(
        charge=0.0, square=0.0, copper_square=around, volts=0.0, volts_square=0.0, share=0.0, waves=waves
    )


def _bridge(
    source: TheveninSource, speed: float, ohms: float, threshold: float, capacitor: Smoothing | None = None
) -> Bridge:
    kept = np.abs(source.flux_constants) > ORDERS_KEPT * np.abs(source.flux_constants).max()
    radians = source.pole_pairs * speed
    return Bridge(
        orders=source.orders[kept],
        amplitudes=np.real(source.flux_constants[kept]) * speed,
        resistance=source.resistance + ohms,
        reactance=radians * source.inductance,
        threshold=threshold,
        susceptance=min(radians * capacitor.farads, LARGEST_CAPACITOR / capacitor.ohms) if capacitor else 0.0,
        conductance=1 / capacitor.ohms if capacitor else 0.0,
    )


def rectified_flow(
    source: TheveninSource, speed: float, drop: Drop,
    *, sink: float = 0.0, ohms: float = 0.0, capacitor: Smoothing | None = None,
) -> Flow:  # fmt: skip
    """Behind a bridge: a sink of constant volts and `ohms`, or a capacitor with its resistance."""
    threshold = sink + 2 * constant_volts(drop)
    if source.peak_constant * speed <= threshold or speed == 0:
        return idle_flow(source, speed, sink)
    if isinstance(drop, Diode):
        flow = junction_flow(source, speed, drop, sink=sink, ohms=ohms, capacitor=capacitor)
        return flow if flow.charge > 0 else idle_flow(source, speed, sink)  # no more than what the diodes leak
    if source.connection:
        return bridge_flow(source, speed, drop, sink=sink, ohms=ohms, capacitor=capacitor)
    if source.kind == "commutated":
        return _direct(source, speed, (threshold, drop), sink, capacitor.ohms if capacitor else ohms)
    bridge = _bridge(source, speed, ohms, threshold, capacitor)
    headroom = (source.peak_constant * speed - threshold) * 0.8
    guess = headroom * capacitor.ohms / (capacitor.ohms + 2 * source.resistance) if capacitor else 0.0
    stretches = bridge.steady(guess)
    mean, volts_square = bridge.mean_square_volts(stretches) if capacitor else (0.0, 0.0)
    square = bridge.means(stretches, lambda j, v, e: j * j)
    charge = bridge.means(stretches, lambda j, v, e: j)
    return Flow(
        charge=charge,
        square=square,
        copper_square=square,
        volts=mean,
        volts_square=volts_square,
        share=conducting_share(stretches),
        waves=_waves(bridge, stretches, drop, sink, ohms),
        diode_watts=2 * drop * charge,
    )


def _direct(source: TheveninSource, speed: float, held: tuple[float, float], sink: float, ohms: float) -> Flow:
    """A commutated source: steady current, the capacitor idle at its volts."""
    emf, (threshold, drop) = source.emf_constant * speed, held
    current = (emf - threshold) / (source.resistance + ohms)
    return steady_current(emf, current, resistance=source.resistance, ohms=ohms, sink=sink, drop=drop)


def _waves(bridge: Bridge, stretches: list[ConductionInterval], drop: float, sink: float, ohms: float) -> Waves:
    angle = period()
    half = angle[: HALF + 1]
    current, held = sampled(bridge, stretches, half)
    load = np.abs(current) * ohms + held + sink
    emf = bridge.emf(angle)
    carried = np.sign(current) * (2 * drop + load)
    terminal = np.where(current != 0, carried, emf[: HALF + 1])
    return Waves(
        angle=angle,
        emf=emf,
        current=np.concatenate((current, -current[1:])),
        terminal_volts=np.concatenate((terminal, -terminal[1:])),
        load_volts=np.concatenate((load, load[1:])),
    )
