"""A supercapacitor behind a bridge: what flows into it on its way up, and how long that takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import log
from typing import Any, ClassVar, Literal

import numpy as np

from geometry.files.key_tables import quantity
from geometry.machine.speed import rad_s_of, rpm_of
from optimizer.circuit.diodes import Drop, knee_volts
from optimizer.circuit.load_hazard import LoadHazard, Stress
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads.bridge_battery import BridgeBattery
from optimizer.circuit.loads.load import OHMS, BridgeLoad, Load, load_key
from optimizer.circuit.rectified import charging_current
from optimizer.circuit.thevenin import TheveninSource
from optimizer.numerics.quadrature import gauss

NODES = 8  # Gauss points of a charge, in the logarithm of what drives the current


@dataclass(frozen=True, slots=True, kw_only=True)
class Overcharge(LoadHazard):
    """A capacitor that goes on charging beyond the volts that it is meant to have. wanted, reached: V; at `rpm`."""

    kind: ClassVar[str] = "overcharge"
    wanted: float
    reached: float
    rpm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Supercapacitor(BridgeLoad):
    """A large capacitor, charged from `from_volts` (V, at least zero) to `to_volts` (V, above it).

    farads: above zero; ohms: its equivalent series resistance, Ω, at least zero; drop: of one diode.
    Within an electrical period its volts stand still, so that at each of them the bridge is in its steady state. What
    it gets at a speed is taken halfway between the volts at which it begins and those that it comes to.
    """

    CURVE: ClassVar[Literal["ohms", "volts"]] = "volts"
    farads: float = load_key(
        "capacitance_F", quantity(minimum="0.001", maximum="1000000"), "of the supercapacitor", example="10"
    )
    from_volts: float = load_key(
        "from_V", quantity(minimum="0", maximum="1000"), "volts of the supercapacitor as charging begins",
        "Charged from", example="0",
    )  # fmt: skip
    to_volts: float = load_key(
        "to_V", quantity(positive=True, maximum="1000"),
        "volts at which it is charged, at most those it is rated for", "Charged to", example="2.7", above="from_volts",
    )  # fmt: skip
    ohms: float = load_key(
        "series_ohm", OHMS, "equivalent series resistance of the supercapacitor", "Series resistance", default=0.0,
        usual="0",
    )  # fmt: skip
    drop: Drop

    @property
    def held_volts(self) -> float:
        return self.from_volts

    def end_volts(self, source: TheveninSource, speed: float) -> float:
        """V at which charging ends at a speed in rad/s: those wanted, or those where the current comes to nothing."""
        highest = source.peak_constant * speed - 2 * knee_volts(self.drop)
        return min(self.to_volts, max(highest, self.from_volts))

    def steady(self, source: TheveninSource, speed: float) -> LoadPoint:
        halfway = (self.from_volts + self.end_volts(source, speed)) / 2
        return self.into_sink(source, speed, halfway, self.ohms)

    def seconds(self, source: TheveninSource, speed: float) -> float | None:
        """How long the whole charge takes at a steady speed in rad/s; None where it never comes to its end.

        The integral of C dV/I(V) by Gauss's rule in the logarithm of the volts that the EMF's peak still has to spare:
        I goes by a power of these, from 1 behind a steady EMF to 3/2 behind the crests of an alternating one.
        """
        highest = source.peak_constant * speed - 2 * knee_volts(self.drop)
        if highest <= self.to_volts:
            return None
        nodes, weights = gauss(NODES)
        span = log((highest - self.from_volts) / (highest - self.to_volts))
        spare = (highest - self.from_volts) * np.exp(-span * nodes)
        current = charging_current(source, speed, self.drop, self.ohms)
        amps = np.array([current(float(volts)) for volts in highest - spare])
        return float(self.farads * span * (weights @ (spare / amps))) if amps.all() else None

    def details(self, source: TheveninSource, point: LoadPoint) -> Mapping[str, Any]:
        """How long the charge takes, where it ends, what it stores, and from which speed on it comes to its end."""
        speed = rad_s_of(point.speed_rpm)
        end = self.end_volts(source, speed)
        needed = (self.to_volts + 2 * knee_volts(self.drop)) / source.peak_constant
        return {
            "charging_s": self.seconds(source, speed),
            "charged_to_V": end,
            "stored_J": self.farads * (end**2 - self.from_volts**2) / 2,
            "charges_above_rpm": rpm_of(needed),
        }

    def variant(self, value: float) -> Load:
        return BridgeBattery(volts=value, ohms=self.ohms, drop=self.drop)

    def hazards(self, stress: Stress) -> Iterator[LoadHazard]:
        reached = stress.peak - 2 * knee_volts(self.drop)
        if reached > self.to_volts:
            yield Overcharge(wanted=self.to_volts, reached=reached, rpm=stress.rpm)
