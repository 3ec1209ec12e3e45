"""A smoothed resistance behind a bridge."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.files.key_tables import quantity
from optimizer.circuit.diodes import Drop
from optimizer.circuit.load_point import LoadPoint, Smoothing
from optimizer.circuit.loads.load import BridgeLoad, load_key, load_point, resistance_key
from optimizer.circuit.rectified import rectified_flow
from optimizer.circuit.thevenin import TheveninSource


@dataclass(frozen=True, slots=True, kw_only=True)
class BridgeCapacitor(BridgeLoad):
    """A resistance, Ω, with a smoothing capacitor, F, across it, behind a bridge; both above zero."""

    ohms: float = resistance_key()
    farads: float = load_key(
        "capacitance_uF", quantity(minimum="0.1", maximum="1000000000", micro=True), "of the smoothing capacitor",
        example="1000",
    )  # fmt: skip
    drop: Drop

    def steady(self, source: TheveninSource, speed: float) -> LoadPoint:
        capacitor = Smoothing(ohms=self.ohms, farads=self.farads)
        flow = rectified_flow(source, speed, self.drop, capacitor=capacitor)
        means = (flow.volts, flow.volts / self.ohms)
        return load_point(source, speed, flow, flow.volts_square / self.ohms, means)
