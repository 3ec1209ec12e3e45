"""What a load gets at a steady speed: volts, amps, watts and where the rest is lost.

Alternating sources are solved in their periodic steady state with every harmonic and the inductance (`bridge`, of three
phases `steady_three`), a resistance straight across the winding order by order. Diodes drop a constant voltage while
they conduct, or follow Shockley's law (`junction_flow`).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from geometry.machine.speed import rad_s_of, rpm_of
from optimizer.circuit.bridge import Bridge, ConductionInterval, conducting_share, sampled
from optimizer.circuit.diodes import Diode, Drop, constant_volts
from optimizer.circuit.flow import HALF, LARGEST_CAPACITOR, ORDERS_KEPT, Flow, period, steady_current
from optimizer.circuit.junction_flow import junction_charger, junction_flow
from optimizer.circuit.load_point import LoadPoint, Waves
from optimizer.circuit.loads import (
    BridgeBattery,
    BridgeCapacitor,
    BridgeResistor,
    Load,
    OpenCircuit,
    Resistor,
    UsbConverter,
)
from optimizer.circuit.steady_three import bridge_flow, charger, resistor_flow, winding_square
from optimizer.circuit.thevenin import TheveninSource
from optimizer.numerics.roots import root_between

SHARES = (
    0.95,
    0.85,
    0.75,
    0.65,
    0.6,
    0.55,
    0.5,
    0.45,
    0.4,
    0.35,
    0.25,
    0.1,
    0.0,
)  # of a converter's headroom
FEW_SHARES = (0.95, 0.7, 0.6, 0.5, 0.4, 0.0)  # where every one takes longer; the top is missed by 1 % at most
SLOW = 10.0  # reactance over resistance from which a winding's current hardly changes within a period


def steady_state(source: TheveninSource, load: Load, speed_rpm: float) -> LoadPoint:
    """The load point at `speed_rpm` (at least zero). Raises ValueError for a speed below zero or not finite."""
    if not 0 <= speed_rpm < float("inf"):
        raise ValueError(f"speed_rpm must be at least zero, was {speed_rpm:g}")
    speed = rad_s_of(speed_rpm)
    match load:
        case OpenCircuit():
            return _point(source, speed, _idle(source, speed), _Gain())
        case Resistor():
            return _straight(source, load, speed)
        case BridgeResistor():
            flow = _flow(source, speed, load.drop, ohms=load.ohms)
            means = (flow.charge * load.ohms, flow.charge)
            return _point(
                source, speed, flow, _Gain(watts=flow.square * load.ohms, means=means)
            )
        case BridgeCapacitor():
            return _smoothed(source, load, speed)
        case BridgeBattery():
            flow = _flow(source, speed, load.drop, sink=load.volts, ohms=load.ohms)
            means = (load.volts + load.ohms * flow.charge, flow.charge)
            watts = load.volts * flow.charge + load.ohms * flow.square
            return _point(source, speed, flow, _Gain(watts=watts, means=means))
        case UsbConverter():
            return _converted(source, load, speed)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Gain:
    """What the load makes of a flow: watts, mean volts and amps, RMS volts; a converter's loss."""

    watts: float = 0.0
    means: tuple[float, float] = (0.0, 0.0)
    rms: float = 0.0
    lost: float = 0.0
    full: bool | None = None


def _point(source: TheveninSource, speed: float, flow: Flow, gain: _Gain) -> LoadPoint:
    copper, diodes = flow.copper_square * source.resistance, flow.diode_watts
    watts, lost, eddy = gain.watts, gain.lost, source.eddy * speed**2
    shaft = watts + copper + diodes + lost + eddy
    return LoadPoint(
        speed_rpm=rpm_of(speed), frequency_Hz=source.frequency(speed), dc_volts=gain.means[0], dc_amps=gain.means[1],
        load_watts=watts, shaft_watts=shaft, copper_watts=copper, diode_watts=diodes, converter_watts=lost,
        eddy_watts=eddy,
        efficiency=watts / shaft if shaft > 0 else 0.0, current_rms=(flow.copper_square / source.phases) ** 0.5,
        conducting_share=flow.share, waves=flow.waves, starts=watts > 0, load_rms=gain.rms,
        full=watts > 0 if gain.full is None else gain.full,
    )  # fmt: skip


def _straight(source: TheveninSource, load: Resistor, speed: float) -> LoadPoint:
    """Order by order; of a commutated source, Ohm's law."""
    if source.connection:
        flow = resistor_flow(source, speed, load.ohms)
        watts = 3 * flow.square * load.ohms
        return _point(source, speed, flow, _Gain(watts=watts, rms=flow.square**0.5 * load.ohms))
    angle = period()
    impedance = (
        source.resistance + load.ohms + 1j * source.orders * source.pole_pairs * speed * source.inductance
    )
    phasors = source.flux_constants * speed / impedance
    emf = source.emf(angle / source.pole_pairs, speed)
    if source.kind == "commutated":
        current, square = emf / impedance.real, float(abs(phasors[0]) ** 2)
    else:
        current = (np.exp(1j * np.outer(angle, source.orders)) @ phasors).imag
        square = float(np.sum(np.abs(phasors) ** 2) / 2)
    volts = current * load.ohms
    waves = Waves(angle=angle, emf=emf, current=current, terminal_volts=volts, load_volts=volts)
    flow = Flow(
        charge=float(np.abs(current[:-1]).mean()), square=square, copper_square=square,
        volts=0.0, volts_square=0.0, share=1.0 if square else 0.0, waves=waves,
    )  # fmt: skip
    means = (float(volts[0]), float(current[0])) if source.kind == "commutated" else (0.0, 0.0)
    return _point(
        source, speed, flow, _Gain(watts=square * load.ohms, means=means, rms=square**0.5 * load.ohms)
    )


def _smoothed(source: TheveninSource, load: BridgeCapacitor, speed: float) -> LoadPoint:
    """A resistance with a capacitor across it."""
    flow = _flow(source, speed, load.drop, capacitor=load)
    watts = flow.volts_square / load.ohms
    means = (flow.volts, flow.volts / load.ohms)
    return _point(source, speed, flow, _Gain(watts=watts, means=means))


def _converted(source: TheveninSource, load: UsbConverter, speed: float) -> LoadPoint:
    """A converter, its input at the volts at which source and converter agree."""
    load = _slow_to_change(source, load, speed)
    highest = source.peak_constant * speed - 2 * constant_volts(load.drop)
    if highest <= load.least_input:
        return _point(source, speed, _idle(source, speed), _Gain(full=False))
    volts = _input_volts(source, load, speed, highest)
    flow = _flow(source, speed, load.drop, sink=volts)
    taken = volts * flow.charge
    maximum = load.most_watts / load.efficiency
    gain = _Gain(
        watts=taken * load.efficiency, means=(volts, flow.charge),
        lost=taken * (1 - load.efficiency), full=taken > maximum * (1 - 1e-4),
    )  # fmt: skip
    return _point(source, speed, flow, gain)


def _slow_to_change(source: TheveninSource, load: UsbConverter, speed: float) -> UsbConverter:
    """The load behind a constant drop where the winding's reactance alone limits the current, else as it is.

    There a current once begun lasts for many periods, and the drop at the current that the reactance lets through is
    that of the law within the few hundredths of a volt by which a diode's drop changes.
    """
    reactance = source.pole_pairs * speed * source.inductance
    if not isinstance(load.drop, Diode) or reactance <= SLOW * source.resistance:
        return load
    return replace(load, drop=load.drop.drop_at(source.peak_constant * speed / reactance))


def _input_volts(source: TheveninSource, load: UsbConverter, speed: float, highest: float) -> float:
    """The highest input at which the source gives all that the converter takes; else the least input."""
    maximum = load.most_watts / load.efficiency

    charge = _charger(source, speed, load.drop)

    def short(volts: float) -> float:
        return volts * charge(volts) - maximum

    above = highest
    for share in FEW_SHARES if isinstance(load.drop, Diode) else SHARES:
        volts = load.least_input + share * (highest - load.least_input)
        if short(volts) >= 0:
            return root_between(short, volts, above, 1e-6 * highest)
        above = volts
    return load.least_input


def _charger(source: TheveninSource, speed: float, drop: Drop) -> Callable[[float], float]:
    """Mean current in A into a sink without resistance, against its volts."""
    if isinstance(drop, Diode):
        return junction_charger(source, speed, drop)
    held = 2 * drop
    if source.connection:
        charge_three = charger(source, speed)
        return lambda volts: charge_three(volts + held)
    if source.kind == "commutated":
        return lambda volts: max(source.emf_constant * speed - volts - held, 0.0) / source.resistance
    free = _bridge(source, speed, 0.0, 0.0)

    def charge(volts: float) -> float:
        bridge = free.with_threshold(volts + held)
        return bridge.means(bridge.steady(), lambda j, v, e: j)

    return charge


def _idle(source: TheveninSource, speed: float, held: float = 0.0) -> Flow:
    """No current; `held` volts at the load."""
    angle = period()
    emf, zero = source.emf(angle / source.pole_pairs, speed), np.zeros_like(angle)
    waves = Waves(angle=angle, emf=emf, current=zero, terminal_volts=emf, load_volts=zero + held)
    around = winding_square(source, speed, 0.0) if source.connection else 0.0
    return Flow(
        charge=0.0, square=0.0, copper_square=around, volts=0.0, volts_square=0.0, share=0.0, waves=waves
    )


def _bridge(
    source: TheveninSource, speed: float, ohms: float, threshold: float, capacitor: BridgeCapacitor | None = None
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


def _flow(
    source: TheveninSource, speed: float, drop: Drop,
    *, sink: float = 0.0, ohms: float = 0.0, capacitor: BridgeCapacitor | None = None,
) -> Flow:  # fmt: skip
    """Behind a bridge: a sink of constant volts and `ohms`, or a capacitor with its resistance."""
    threshold = sink + 2 * constant_volts(drop)
    if source.peak_constant * speed <= threshold or speed == 0:
        return _idle(source, speed, sink)
    if isinstance(drop, Diode):
        flow = junction_flow(source, speed, drop, sink=sink, ohms=ohms, capacitor=capacitor)
        return flow if flow.charge > 0 else _idle(source, speed, sink)  # no more than what the diodes leak
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
