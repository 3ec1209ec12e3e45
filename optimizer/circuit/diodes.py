"""Diodes: the law by which volts follow the current, and the two kinds that are at hand.

I = Is (exp((V − I Rs)/(n Vt)) − 1), W. Shockley, Bell System Technical Journal 28 (1949) 435, with a series
resistance. The constants are those of public circuit simulator cards: silicon a 1N4007 (Is 7.03 nA, n 1.808, Rs 34 mΩ),
Schottky a 1N5819 (31.7 µA, 1.373, 51 mΩ), both as onsemi publishes them. Cards of one part differ by 40 mV at 10 mA,
parts by 50 mV (silicon) and 60 mV (Schottky).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log1p
from typing import TypeAlias

THERMAL = 0.025865  # V, kT/q at 27 °C
KNEE = 1e-3  # A; the drop there is what a current that can be noticed has to beat


@dataclass(frozen=True, slots=True, kw_only=True)
class Diode:
    """One diode. saturation: Is, A; emission: n; ohms: Rs, Ω; all above zero."""

    name: str
    saturation: float
    emission: float
    ohms: float

    def __post_init__(self) -> None:
        for name in ("saturation", "emission", "ohms"):
            if not getattr(self, name) > 0:
                raise ValueError(f"{name} must be above zero, was {getattr(self, name):g}")

    @property
    def slope(self) -> float:
        """n Vt, V: what the drop grows by for e times the current."""
        return self.emission * THERMAL

    def drop_at(self, amps: float) -> float:
        """V at a forward current in A."""
        return self.slope * log1p(amps / self.saturation) + self.ohms * amps


Drop: TypeAlias = float | Diode  # of one diode: V whatever the current, or the law that it follows

SILICON = Diode(name="silicon", saturation=7.02767e-9, emission=1.80803, ohms=0.0341512)
SCHOTTKY = Diode(name="schottky", saturation=31.7e-6, emission=1.373, ohms=0.051)
DIODES: dict[str, Drop] = {"silicon": SILICON, "schottky": SCHOTTKY, "ideal": 0.0}


def constant_volts(drop: Drop) -> float:
    """V that no current gets past: of a constant drop; a law lets a little through at any volts."""
    return 0.0 if isinstance(drop, Diode) else drop


def knee_volts(drop: Drop) -> float:
    """V that an EMF must beat for each diode before a current begins: a law's drop at a milliampere."""
    return drop.drop_at(KNEE) if isinstance(drop, Diode) else drop
