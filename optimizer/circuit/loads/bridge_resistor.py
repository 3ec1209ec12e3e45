"""A resistance behind a bridge."""

from __future__ import annotations

from dataclasses import dataclass, replace

from optimizer.circuit.diodes import Drop
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads.load import BridgeLoad, Load, LoadGain, load_point, resistance_key
from optimizer.circuit.rectified import rectified_flow
from optimizer.circuit.thevenin import TheveninSource


@dataclass(frozen=True, slots=True, kw_only=True)
class BridgeResistor(BridgeLoad):
    """A resistance behind a bridge. ohms: above zero; drop: of one diode, V, at least zero."""

    ohms: float = resistance_key()
    drop: Drop

    def steady(self, source: TheveninSource, speed: float) -> LoadPoint:
        flow = rectified_flow(source, speed, self.drop, ohms=self.ohms)
        means = (flow.mean_current * self.ohms, flow.mean_current)
        return load_point(source, speed, flow, LoadGain(watts=flow.mean_square_current * self.ohms, means=means))

    def variant(self, value: float) -> Load:
        return replace(self, ohms=value)
