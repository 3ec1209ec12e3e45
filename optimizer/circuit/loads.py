"""What the winding feeds, one small type per kind of load. All values in ohms, farads, volts and watts.

A bridge has two diodes in the current's way at any moment; `drop` is the forward drop of one, in V whatever the
current, or the law that it follows.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isfinite
from typing import TypeAlias

from optimizer.circuit.diodes import Diode, Drop


def _need(owner: object, *, above: tuple[str, ...] = (), minimum: tuple[str, ...] = ()) -> None:
    for name in (*above, *minimum):
        value = getattr(owner, name)
        if isinstance(value, Diode):
            continue
        if not isfinite(value) or value < 0 or (value == 0 and name in above):
            raise ValueError(f"{name} must be {'above' if name in above else 'at least'} zero, was {value:g}")


@dataclass(frozen=True, slots=True)
class OpenCircuit:
    """Nothing: the ends stand free."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Resistor:
    """A resistance straight across the winding: a lamp, a heater. ohms: above zero."""

    ohms: float

    def __post_init__(self) -> None:
        _need(self, above=("ohms",))


@dataclass(frozen=True, slots=True, kw_only=True)
class BridgeResistor:
    """A resistance behind a bridge. ohms: above zero; drop: of one diode, V, at least zero."""

    ohms: float
    drop: Drop

    def __post_init__(self) -> None:
        _need(self, above=("ohms",), minimum=("drop",))


@dataclass(frozen=True, slots=True, kw_only=True)
class BridgeCapacitor:
    """A resistance with a smoothing capacitor across it, behind a bridge. ohms, farads: above zero."""

    ohms: float
    farads: float
    drop: Drop

    def __post_init__(self) -> None:
        _need(self, above=("ohms", "farads"), minimum=("drop",))


@dataclass(frozen=True, slots=True, kw_only=True)
class BridgeBattery:
    """A sink of constant voltage behind a bridge. volts: above zero; ohms: inside the sink; drop as above."""

    volts: float
    ohms: float
    drop: Drop

    def __post_init__(self) -> None:
        _need(self, above=("volts",), minimum=("ohms", "drop"))


@dataclass(frozen=True, slots=True, kw_only=True)
class UsbConverter:
    """A converter to `output` volts behind a bridge and a large capacitor.

    It takes what gives `most_watts` at its output, however high its input. When the winding cannot give that
    much, it draws just so much current that its input stays at `least_input`; below that it does not start.
    least_input: V; efficiency: output over input power, above 0 and at most 1; drop: of one diode, V;
    most_watts: at the output, W. most_input: V that the input bears, or None when that is not known: converters to 5 V
    bear from 5.5 V to some ten times as much, so that none can be taken for usual.
    """

    least_input: float
    efficiency: float
    drop: Drop
    output: float = 5.0
    most_watts: float = 5.0
    most_input: float | None = None

    def __post_init__(self) -> None:
        _need(self, above=("least_input", "efficiency", "output", "most_watts"), minimum=("drop",))
        if self.efficiency > 1:
            raise ValueError(f"efficiency must be at most 1, was {self.efficiency:g}")
        if self.most_input is not None and not self.least_input < self.most_input < inf:
            raise ValueError(f"most_input must be above least_input ({self.least_input:g}), was {self.most_input:g}")


Load: TypeAlias = OpenCircuit | Resistor | BridgeResistor | BridgeCapacitor | BridgeBattery | UsbConverter
