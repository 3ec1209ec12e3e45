"""Nothing joined."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from geometry.curves.curve import Real
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads.load import Load, Means, load_point
from optimizer.circuit.loads.resistor import Resistor
from optimizer.circuit.rectified import idle_flow
from optimizer.circuit.thevenin import TheveninSource


@dataclass(frozen=True, slots=True)
class OpenCircuit(Load):
    """Nothing: the ends stand free."""

    TAKES_CURRENT: ClassVar[bool] = False

    def steady(self, source: TheveninSource, speed: float) -> LoadPoint:
        return load_point(source, speed, idle_flow(source, speed))

    def variant(self, value: float) -> Load:
        return Resistor(ohms=value)

    def displayed(self, source: TheveninSource, speed: Real, means: Means) -> tuple[Real, Real]:
        return source.emf_constant * speed, 0.0 * speed
