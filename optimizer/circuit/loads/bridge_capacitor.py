"""A smoothed resistance behind a bridge."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from optimizer.circuit.diodes import Drop
from optimizer.circuit.flow import Smoothing
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads.load import BridgeLoad, Load, LoadGain, load_point, require
from optimizer.circuit.loads.load_keys import RESISTANCE, LoadKey
from optimizer.circuit.rectified import rectified_flow
from optimizer.circuit.thevenin import TheveninSource


@dataclass(frozen=True, slots=True, kw_only=True)
class BridgeCapacitor(BridgeLoad):
    """A resistance with a smoothing capacitor across it, behind a bridge. ohms, farads: above zero."""

    KEYS: ClassVar[tuple[LoadKey, ...]] = (
        RESISTANCE,
        LoadKey(
            name="capacitance_uF", field="farads", meaning="of the smoothing capacitor", example="1000",
            minimum="0.1", maximum="1000000000", micro=True,
        ),
    )  # fmt: skip
    ohms: float
    farads: float
    drop: Drop

    def __post_init__(self) -> None:
        require(self, above=("ohms", "farads"), minimum=("drop",))

    def steady(self, source: TheveninSource, speed: float) -> LoadPoint:
        capacitor = Smoothing(ohms=self.ohms, farads=self.farads)
        flow = rectified_flow(source, speed, self.drop, capacitor=capacitor)
        means = (flow.volts, flow.volts / self.ohms)
        return load_point(source, speed, flow, LoadGain(watts=flow.volts_square / self.ohms, means=means))

    def variant(self, value: float) -> Load:
        return replace(self, ohms=value)
