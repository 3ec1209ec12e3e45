"""A resistance straight across the winding, solved order by order."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.diodes import Drop
from optimizer.circuit.flow import Flow, period
from optimizer.circuit.load_point import LoadPoint, Waves
from optimizer.circuit.loads.bridge_resistor import BridgeResistor
from optimizer.circuit.loads.load import Load, LoadGain, Means, load_point, resistance_key
from optimizer.circuit.steady_three import resistor_flow
from optimizer.circuit.thevenin import TheveninSource


@dataclass(frozen=True, slots=True, kw_only=True)
class Resistor(Load):
    """A resistance straight across the winding: a lamp, a heater. ohms: above zero."""

    ohms: float = resistance_key()

    def steady(self, source: TheveninSource, speed: float) -> LoadPoint:
        """Order by order; of a commutated source, Ohm's law; of three phases three resistances joined as they are."""
        if source.connection:
            flow = resistor_flow(source, speed, self.ohms)
            watts = 3 * flow.square * self.ohms
            return load_point(source, speed, flow, LoadGain(watts=watts, rms=flow.square**0.5 * self.ohms))
        flow = self._flow(source, speed)
        volts, amps = float(flow.waves.load_volts[0]), float(flow.waves.current[0])
        means = (volts, amps) if source.kind == "commutated" else (0.0, 0.0)
        gain = LoadGain(watts=flow.square * self.ohms, means=means, rms=flow.square**0.5 * self.ohms)
        return load_point(source, speed, flow, gain)

    def _flow(self, source: TheveninSource, speed: float) -> Flow:
        angle = period()
        impedance = (
            source.resistance + self.ohms + 1j * source.orders * source.pole_pairs * speed * source.inductance
        )
        phasors = source.flux_constants * speed / impedance
        emf = source.emf(angle / source.pole_pairs, speed)
        if source.kind == "commutated":
            current, square = emf / impedance.real, float(abs(phasors[0]) ** 2)
        else:
            current = (np.exp(1j * np.outer(angle, source.orders)) @ phasors).imag
            square = float(np.sum(np.abs(phasors) ** 2) / 2)
        volts = current * self.ohms
        waves = Waves(angle=angle, emf=emf, current=current, terminal_volts=volts, load_volts=volts)
        return Flow(
            charge=float(np.abs(current[:-1]).mean()), square=square, copper_square=square,
            volts=0.0, volts_square=0.0, share=1.0 if square else 0.0, waves=waves,
        )  # fmt: skip

    def variant(self, value: float) -> Load:
        return replace(self, ohms=value)

    def alternating(self, point: LoadPoint) -> tuple[float, float]:
        return point.load_rms, point.load_rms / self.ohms

    def behind(self, drop: Drop | None) -> Load:
        return self if drop is None else BridgeResistor(ohms=self.ohms, drop=drop)

    def displayed(self, source: TheveninSource, speed: Real, means: Means) -> tuple[Real, Real]:
        each = np.maximum(means.watts, 0.0) / source.phases
        return np.sqrt(each * self.ohms), np.sqrt(each / self.ohms)
