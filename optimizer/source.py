"""The winding as a source: EMF of any waveform behind a resistance and an inductance."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import pi
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from geometry.curve import Real
from geometry.layout import Layout
from geometry.wire import resistance_at
from optimizer.circuit import resistance, wire_length
from optimizer.emf import waveform
from optimizer.inductance import neumann_inductance


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Source:
    """What a load sees of a machine.

    orders: (K,) odd harmonic orders k of the pole pairs. flux_constants: (K,) V·s/rad, the EMF's amplitude of
    each order per rad/s of the shaft; the same numbers are N·m/A. resistance: Ω in series, at its temperature,
    above zero. inductance: H in series. kind: "alternating", or "commutated" for a machine with a commutator,
    whose EMF is steady: orders [0] and one flux constant. Raises ValueError outside these ranges.
    """

    name: str
    pole_pairs: int
    orders: Real
    flux_constants: Real
    resistance: float
    inductance: float
    kind: Literal["alternating", "commutated"] = "alternating"

    def __post_init__(self) -> None:
        if not self.resistance > 0:
            raise ValueError(f"resistance must be above zero, was {self.resistance:g}")
        if not self.inductance >= 0:
            raise ValueError(f"inductance must be at least zero, was {self.inductance:g}")
        if self.pole_pairs < 1:
            raise ValueError(f"pole_pairs must be at least 1, was {self.pole_pairs}")
        if self.orders.shape != self.flux_constants.shape or self.orders.ndim != 1 or not self.orders.size:
            shapes = f"{self.orders.shape} and {self.flux_constants.shape}"
            raise ValueError(f"orders and flux_constants must be equally long, were {shapes}")
        if self.kind == "commutated" and self.orders.tolist() != [0]:
            raise ValueError(f"orders of a commutated source must be [0], were {self.orders.tolist()}")
        if self.kind == "alternating" and not (self.orders % 2 == 1).all():
            raise ValueError(f"orders of an alternating source must be odd, were {self.orders.tolist()}")

    @property
    def emf_constant(self) -> float:
        """RMS EMF per rad/s of the shaft, V·s/rad."""
        if self.kind == "commutated":
            return float(abs(self.flux_constants[0]))
        return float(np.linalg.norm(self.flux_constants) / 2**0.5)

    @property
    def peak_constant(self) -> float:
        """Highest EMF per rad/s of the shaft, V·s/rad."""
        return _peak_constant(self)

    def frequency(self, speed: float) -> float:
        """Electrical frequency in Hz at `speed` (rad/s of the shaft); zero for a commutated source."""
        return 0.0 if self.kind == "commutated" else self.pole_pairs * speed / (2 * pi)

    def torque_constant(self, angle: ArrayLike) -> Real:
        """Torque per ampere, N·m/A, at shaft angles in rad: Σ flux_constants sin(k p θ). Shape of `angle`."""
        angle = np.asarray(angle, float)
        if self.kind == "commutated":
            return np.full(angle.shape, self.flux_constants[0])
        return np.sin(np.multiply.outer(angle * self.pole_pairs, self.orders)) @ self.flux_constants

    def emf(self, angle: ArrayLike, speed: ArrayLike) -> Real:
        """EMF in V at shaft angles (rad) and speeds (rad/s), which broadcast."""
        return np.asarray(speed, float) * self.torque_constant(angle)


@lru_cache(maxsize=64)
def _peak_constant(source: Source) -> float:
    half_period = np.linspace(0, pi / source.pole_pairs, 2881)
    return float(np.abs(source.torque_constant(half_period)).max())


def source_of(layout: Layout, temperature: float = 20.0) -> Source:
    """The phase of a layout as a source; its copper at `temperature` in °C, its magnets as the layout has them.

    temperature: above −234 °C, where copper's resistance would come to nothing. Raises ValueError for a layout of
    more than one phase: loads are fed by one.
    """
    if layout.phases != 1:
        raise ValueError(f"phases must be 1 to feed a load, was {layout.phases}")
    emf = waveform(layout)
    cold = resistance(layout, wire_length(layout))
    return Source(
        name=layout.title,
        pole_pairs=layout.carrier.pole_pairs,
        orders=emf.orders,
        flux_constants=emf.amplitudes / (layout.speed_rpm * 2 * pi / 60),
        resistance=resistance_at(cold, temperature),
        inductance=neumann_inductance(layout),
    )
