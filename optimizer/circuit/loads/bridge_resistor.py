"""A resistance behind a bridge."""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.circuit.diodes import Drop
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads.load import BridgeLoad, resistance_key
from optimizer.circuit.thevenin import TheveninSource


@dataclass(frozen=True, slots=True, kw_only=True)
class BridgeResistor(BridgeLoad):
    """A resistance behind a bridge. ohms: above zero; drop: of one diode, V, at least zero."""

    ohms: float = resistance_key()
    drop: Drop

    def steady(self, source: TheveninSource, speed: float) -> LoadPoint:
        return self.into_sink(source, speed, 0.0, self.ohms)
