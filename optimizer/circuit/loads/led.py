"""Strings of light-emitting diodes behind a bridge."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, ClassVar, Literal

from geometry.files.key_tables import whole
from optimizer.circuit.diodes import Drop
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads.load import OHMS, VOLTAGE, BridgeLoad, Load, load_key
from optimizer.circuit.thevenin import TheveninSource


@dataclass(frozen=True, slots=True, kw_only=True)
class Led(BridgeLoad):
    """Equal strings side by side. forward_volts: of a whole string at a small current, V, above zero; dynamic_ohms: by
    which the volts of one string rise with its current, resistors in it included, Ω; drop: of the bridge's diodes."""

    CURVE: ClassVar[Literal["ohms", "volts"]] = "volts"
    STORES: ClassVar[bool] = False
    forward_volts: float = load_key(
        "forward_V", VOLTAGE, "of a whole string of LEDs, at a small current", "Forward voltage", example="9"
    )
    dynamic_ohms: float = load_key(
        "dynamic_ohm", OHMS, "of one string: volts that it takes more for each ampere more, its resistors included",
        "Dynamic resistance", example="10",
    )  # fmt: skip
    strings: int = load_key(
        "strings", whole(minimum=1, maximum=10_000), "equal strings, side by side", "Strings", default=1, usual="1"
    )
    drop: Drop

    @property
    def held_volts(self) -> float:
        return self.forward_volts

    def steady(self, source: TheveninSource, speed: float) -> LoadPoint:
        return self.into_sink(source, speed, self.forward_volts, self.dynamic_ohms / self.strings)

    def details(self, source: TheveninSource, point: LoadPoint) -> Mapping[str, Any]:
        return {"string_A": point.dc_amps / self.strings}

    def variant(self, value: float) -> Load:
        longer = value / self.forward_volts
        return replace(self, forward_volts=value, dynamic_ohms=self.dynamic_ohms * longer)
