"""What flows at a steady speed behind a bridge or through resistances, whatever feeds them.

Alternating sources of one phase or three are solved in their periodic steady state with every harmonic and the
inductance (`bridge`). Diodes drop a constant voltage while they conduct, or follow Shockley's law (`junctions`).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.bridge import Bridge
from optimizer.circuit.conduction import MIN_TIME, ConductionInterval
from optimizer.circuit.diodes import Diode, Drop, constant_volts
from optimizer.circuit.junctions import junction_charger, junction_flow
from optimizer.circuit.load_point import LARGEST_CAPACITOR, ORDERS_KEPT, Flow, Smoothing, Waves, period
from optimizer.circuit.thevenin import TheveninSource
from optimizer.numerics.roots import root_between

NEAR = 1e-9  # of a steady current, relative


def charging_current(
    source: TheveninSource, speed: float, drop: Drop, ohms: float = 0.0
) -> Callable[[float], float]:
    """Mean current in A into a sink of `ohms`, against the volts that it holds; speed in rad/s."""
    if source.kind == "commutated":
        return lambda volts: _direct_flow(source, speed, drop, volts, ohms).mean_current
    if isinstance(drop, Diode):
        return junction_charger(source, speed, drop, ohms)
    free = _bridge(source, speed, 0.0, ohms)

    def charge(volts: float) -> float:
        bridge = free.with_threshold(volts + 2 * drop)
        return bridge.means(bridge.steady()).current

    return charge


def idle_flow(source: TheveninSource, speed: float, held: float = 0.0) -> Flow:
    """No current; `held` V at the load, `speed` in rad/s."""
    angle = period()
    emf, zero = source.emf(angle / source.pole_pairs, speed), np.zeros_like(angle)
    waves = Waves(angle=angle, emf=emf, current=zero, terminal_volts=emf, load_volts=zero + held)
    return Flow(copper_square=source.winding_square(speed, 0.0), waves=waves)


def rectified_flow(
    source: TheveninSource, speed: float, drop: Drop,
    *, sink: float = 0.0, ohms: float = 0.0, capacitor: Smoothing | None = None,
) -> Flow:  # fmt: skip
    """Behind a bridge: a sink of constant volts and `ohms`, or a capacitor with its resistance; speed in rad/s."""
    threshold = sink + 2 * constant_volts(drop)
    if source.peak_constant * speed <= threshold or speed == 0:
        return idle_flow(source, speed, sink)
    if source.kind == "commutated":
        return _direct_flow(source, speed, drop, sink, capacitor.ohms if capacitor else ohms)
    if isinstance(drop, Diode):
        flow = junction_flow(source, speed, drop, sink=sink, ohms=ohms, capacitor=capacitor)
        return flow if flow.mean_current > 0 else idle_flow(source, speed, sink)  # no more than what the diodes leak
    bridge = _bridge(source, speed, threshold, ohms, capacitor)
    headroom = 0.9 * (source.peak_constant * speed - threshold)
    share = capacitor.ohms / (capacitor.ohms + source.terminal_resistance) if capacitor else 0.0
    stretches = bridge.steady(headroom * share)
    means = bridge.means(stretches)
    return Flow(
        mean_current=means.current,
        mean_square_current=means.current_square,
        copper_square=source.winding_square(speed, means.terminals_square),
        volts=means.volts,
        volts_square=means.volts_square,
        conduction_ratio=sum(s.end - s.start for s in stretches if s.path is not None) / bridge.span,
        waves=_waves(bridge, stretches, drop, sink),
        diode_watts=2 * drop * means.current,
    )


def _direct_flow(source: TheveninSource, speed: float, drop: Drop, sink: float, ohms: float) -> Flow:
    """Of a commutated source: one current through two diodes, a capacitor idle at its volts."""
    emf, inner = source.emf_constant * speed, source.resistance + ohms
    amps = (emf - sink - 2 * constant_volts(drop)) / inner
    if amps <= 0:
        return idle_flow(source, speed, sink)
    if isinstance(diode := drop, Diode):
        amps = root_between(lambda i: emf - sink - inner * i - 2 * diode.drop_at(i), 0.0, amps, NEAR * amps)
        drop = diode.drop_at(amps)
    angle, volts = period(), sink + ohms * amps
    waves = (level * np.ones_like(angle) for level in (emf, amps, emf - source.resistance * amps, volts))
    return Flow(
        mean_current=amps, mean_square_current=amps**2, copper_square=amps**2, volts=volts, volts_square=volts**2,
        conduction_ratio=1.0, waves=Waves(angle, *waves), diode_watts=2 * drop * amps,
    )  # fmt: skip


def _bridge(
    source: TheveninSource, speed: float, threshold: float, ohms: float, capacitor: Smoothing | None = None
) -> Bridge:
    star = source.star_constants
    size = np.abs(star).max(axis=0)
    kept = size > ORDERS_KEPT * size.max()
    radians, (resistance, inductance) = source.pole_pairs * speed, source.arm
    return Bridge(
        orders=source.orders[kept],
        amplitudes=star[:, kept] * speed,
        resistance=resistance,
        reactance=max(radians * inductance, MIN_TIME * resistance),
        threshold=threshold,
        ohms=ohms,
        susceptance=min(radians * capacitor.farads, LARGEST_CAPACITOR / capacitor.ohms) if capacitor else 0.0,
        conductance=1 / capacitor.ohms if capacitor else 0.0,
    )


def _waves(bridge: Bridge, stretches: list[ConductionInterval], drop: float, sink: float) -> Waves:
    """The first terminal's current, and the volts between the first two and at the load."""
    angle = period()
    currents, total, held = bridge.sampled(stretches, angle)
    load = sink + bridge.ohms * total + held
    star, conducting = bridge.emf(angle), np.sign(currents)
    on = np.abs(conducting)
    on[~on.any(axis=1)] = 1
    middle = (star * on).sum(axis=1, keepdims=True) / on.sum(axis=1, keepdims=True)
    potential = np.where(conducting == 0, star - middle, conducting * (load + 2 * drop)[:, None] / 2)
    return Waves(
        angle=angle,
        emf=star[:, 0] - star[:, 1],
        current=currents[:, 0],
        terminal_volts=potential[:, 0] - potential[:, 1],
        load_volts=load,
    )


def resistor_flow(source: TheveninSource, speed: float, ohms: float) -> Flow:
    """A resistance straight across the winding, or three joined as three windings are, order by order.

    Means are those of one resistance; speed in rad/s.
    """
    if source.kind == "commutated":
        return _direct_flow(source, speed, 0.0, 0.0, ohms)
    arm, inductance = source.arm
    load = ohms * arm / source.resistance
    star = source.star_constants * speed
    phasors = (star - star.mean(axis=0)) / (arm + load + 1j * source.orders * source.pole_pairs * speed * inductance)
    angle = period()
    currents: Real = (np.exp(1j * np.outer(angle, source.orders)) @ phasors.T).imag
    volts = load * (currents[:, 0] - currents[:, 1])
    square = float(np.sum(np.abs(phasors) ** 2) / 2)
    return Flow(
        mean_current=float(np.abs(currents[:-1, 0]).mean()),
        mean_square_current=square / (9 if source.connection == "delta" else len(phasors)),
        copper_square=source.winding_square(speed, square),
        conduction_ratio=1.0 if square else 0.0,
        waves=Waves(
            angle=angle,
            emf=source.emf(angle / source.pole_pairs, speed),
            current=currents[:, 0],
            terminal_volts=volts,
            load_volts=load * currents[:, 0] if source.connection == "star" else volts,
        ),
    )
