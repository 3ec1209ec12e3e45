"""A converter behind a bridge and a large capacitor, its input at the volts at which source and converter agree."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar, Literal, Self

import numpy as np

from geometry.curves.curve import Real
from geometry.files.key_tables import quantity
from optimizer.circuit.diodes import Diode, Drop, constant_volts
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads.bridge_battery import BridgeBattery
from optimizer.circuit.loads.load import (
    MIN_WATTS,
    VOLTAGE,
    LimitedLoad,
    Load,
    LoadHazard,
    Means,
    Stress,
    load_key,
    load_point,
)
from optimizer.circuit.rectified import charging_current, idle_flow, rectified_flow
from optimizer.circuit.thevenin import TheveninSource
from optimizer.numerics.roots import root_between

SHARES = (
    0.95, 0.85, 0.75, 0.65, 0.6, 0.55, 0.5, 0.45, 0.4, 0.35, 0.25, 0.1, 0.0,
)  # of a converter's headroom  # fmt: skip
FEW_SHARES = (0.95, 0.7, 0.6, 0.5, 0.4, 0.0)  # where every one takes longer; the top is missed by 1 % at most
SLOW = 10.0  # reactance over resistance from which a winding's current hardly changes within a period
SMALL_INPUT = 5.5  # V that small converters to 5 V bear at the least (data sheet SLVS577E; SLVSA31A: 6.5 V)


@dataclass(frozen=True, slots=True, kw_only=True)
class ConverterInput(LoadHazard):
    """A converter whose input may see more than it bears. loaded: highest V while it takes its load; unplugged: peak V
    at `rpm` while it takes nothing, what a diode drops not counted. bears: V, None when that is not known."""

    kind: ClassVar[str] = "converter-input"
    loaded: float
    unplugged: float
    rpm: float
    bears: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class UsbConverter(LimitedLoad):
    """A converter to `output` volts behind a bridge and a large capacitor.

    It takes what gives `most_watts` at its output, however high its input. When the winding cannot give that
    much, it draws just so much current that its input stays at `least_input`; below that it does not start.
    least_input: V; efficiency: output over input power, above 0 and at most 1; drop: of one diode, V;
    most_watts: at the output, W. most_input: V that the input bears, or None when that is not known: converters to 5 V
    bear from 5.5 V to some ten times as much, so that none can be taken for usual.
    """

    CURVE: ClassVar[Literal["ohms", "volts"]] = "volts"
    least_input: float = load_key(
        "least_input_V", VOLTAGE, "least at which the converter works", "Input, at least", example="4"
    )
    efficiency: float = load_key(
        "efficiency", quantity(positive=True, maximum="1", hint="a share, not a percentage"), "of the converter",
        example="0.85",
    )  # fmt: skip
    drop: Drop
    output: float = load_key("output_V", VOLTAGE, "of the converter", default=5.0, usual="5", example="5")
    most_watts: float = load_key(
        "most_W", quantity(positive=True, maximum="100000"), "most that the converter gives", "Power, at most",
        default=5.0, usual="5", example="10",
    )  # fmt: skip
    most_input: float | None = load_key(
        "most_input_V", VOLTAGE, "that its input bears: see its data sheet (5.5 V of many small ones)",
        "Input bears, at most", default=None, usual="not known", above="least_input",
        comment="that its input bears; left out: not known",
    )  # fmt: skip

    @property
    def held_volts(self) -> float:
        return self.least_input

    def drawing(self, watts: float) -> Self:
        return replace(self, most_watts=watts)

    def steady(self, source: TheveninSource, speed: float) -> LoadPoint:
        drop = self._slow_drop(source, speed)
        highest = source.peak_constant * speed - 2 * constant_volts(drop)
        if highest <= self.least_input:
            return load_point(source, speed, idle_flow(source, speed))
        volts = self._input_volts(source, speed, drop, highest)
        flow = rectified_flow(source, speed, drop, sink=volts)
        taken = volts * flow.mean_current
        point = load_point(source, speed, flow, taken * self.efficiency, (volts, flow.mean_current))
        full = taken > self._most_taken * (1 - 1e-4)
        return replace(point, converter_watts=taken * (1 - self.efficiency), full=full)

    @property
    def _most_taken(self) -> float:
        """W at its input while it gives all it can."""
        return self.most_watts / self.efficiency

    def _slow_drop(self, source: TheveninSource, speed: float) -> Drop:
        """A constant drop where the winding's reactance alone limits the current, else that of the diodes as they are.

        There a current once begun lasts for many periods, and the drop at the current that the reactance lets through
        is that of the law within the few hundredths of a volt by which a diode's drop changes.
        """
        reactance = source.pole_pairs * speed * source.inductance
        if not isinstance(self.drop, Diode) or reactance <= SLOW * source.resistance:
            return self.drop
        return self.drop.drop_at(source.peak_constant * speed / reactance)

    def _input_volts(self, source: TheveninSource, speed: float, drop: Drop, highest: float) -> float:
        """The highest input at which the source gives all that the converter takes; else the least input."""
        charge = charging_current(source, speed, drop)

        def short(volts: float) -> float:
            return volts * charge(volts) - self._most_taken

        above = highest
        for share in FEW_SHARES if isinstance(drop, Diode) else SHARES:
            volts = self.least_input + share * (highest - self.least_input)
            if short(volts) >= 0:
                return root_between(short, volts, above, 1e-6 * highest)
            above = volts
        return self.least_input

    def variant(self, value: float) -> Load:
        return BridgeBattery(volts=value, drop=self.drop)

    def displayed(self, source: TheveninSource, speed: Real, means: Means) -> tuple[Real, Real]:
        works = np.asarray(means.watts > MIN_WATTS, np.float64)
        return self.output * works, means.watts / self.output

    def hazards(self, stress: Stress) -> Iterator[LoadHazard]:
        bears = self.most_input
        if max(stress.peak, stress.volts) > (SMALL_INPUT if bears is None else bears):
            yield ConverterInput(loaded=stress.volts, unplugged=stress.peak, rpm=stress.rpm, bears=bears)
