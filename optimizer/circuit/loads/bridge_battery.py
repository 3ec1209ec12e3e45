"""A sink of constant volts behind a bridge, and nothing between."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar, Literal

from optimizer.circuit.diodes import Drop
from optimizer.circuit.load_hazard import LoadHazard, Stress
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads.load import OHMS, VOLTAGE, BridgeLoad, load_key
from optimizer.circuit.thevenin import TheveninSource


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell(LoadHazard):
    """A sink of constant voltage, V, behind a bridge and nothing else, as a cell without charge control would be."""

    kind: ClassVar[str] = "cell"
    volts: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BridgeBattery(BridgeLoad):
    """A sink of constant voltage behind a bridge. volts: V, above zero; ohms: inside the sink, Ω."""

    CURVE: ClassVar[Literal["ohms", "volts"]] = "volts"
    volts: float = load_key("voltage_V", VOLTAGE, "of the battery or other sink of constant voltage", example="5")
    ohms: float = load_key(
        "internal_ohm", OHMS, "of the battery", "Internal resistance", default=0.0, usual="0"
    )
    drop: Drop

    @property
    def held_volts(self) -> float:
        return self.volts

    def steady(self, source: TheveninSource, speed: float) -> LoadPoint:
        return self.into_sink(source, speed, self.volts, self.ohms)

    def hazards(self, stress: Stress) -> Iterator[LoadHazard]:
        del stress
        yield Cell(volts=self.volts)
