"""A resistance straight across the winding, solved order by order."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.diodes import Drop
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads.bridge_resistor import BridgeResistor
from optimizer.circuit.loads.load import Load, Means, load_point, resistance_key
from optimizer.circuit.rectified import resistor_flow
from optimizer.circuit.thevenin import TheveninSource


@dataclass(frozen=True, slots=True, kw_only=True)
class Resistor(Load):
    """A resistance straight across the winding: a lamp, a heater. ohms: Ω, above zero."""

    ohms: float = resistance_key()

    def steady(self, source: TheveninSource, speed: float) -> LoadPoint:
        """At `speed` in rad/s; of three phases three resistances, joined as they are."""
        flow = resistor_flow(source, speed, self.ohms)
        means = (flow.volts, flow.mean_current) if source.kind == "commutated" else (0.0, 0.0)
        point = load_point(source, speed, flow, source.phases * flow.mean_square_current * self.ohms, means)
        return replace(point, load_rms=flow.mean_square_current**0.5 * self.ohms)

    def alternating(self, point: LoadPoint) -> tuple[float, float]:
        return point.load_rms, point.load_rms / self.ohms

    def behind(self, drop: Drop | None) -> Load:
        return self if drop is None else BridgeResistor(ohms=self.ohms, drop=drop)

    def displayed(self, source: TheveninSource, speed: Real, means: Means) -> tuple[Real, Real]:
        each = np.maximum(means.watts, 0.0) / source.phases
        return np.sqrt(each * self.ohms), np.sqrt(each / self.ohms)
