"""The winding as a source: EMF of any waveform behind a resistance and an inductance, of one phase or three."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import pi
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Complex, Real
from geometry.machine.layout import Layout
from geometry.stock.wire import resistance_at
from optimizer.evaluation.copper import eddy_coefficient, resistance, wire_length
from optimizer.evaluation.inductance import mutual_inductance, neumann_inductance
from optimizer.field.emf import MachineEmf, machine_emf


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TheveninSource:
    """What a load sees of a machine: two terminals, or three.

    orders: (K,) odd harmonic orders k of the pole pairs. flux_constants: (K,) V·s/rad, the EMF's amplitude of
    each order per rad/s of the shaft; the same numbers are N·m/A. Of three phases (3, K), complex, the EMF of each
    being Im Σ constant exp(i k p θ). resistance: Ω in series, at its temperature, above zero, of one phase.
    inductance: H in series, of one phase by itself; mutual: H between two phases. kind: "alternating", or
    "commutated" for a machine with a commutator, whose EMF is steady: orders [0] and one flux constant. connection:
    "star" or "delta" of three phases, empty of one. eddy: loss by eddy currents in the wire, W per (rad/s)² of the
    shaft, load or not. Raises ValueError outside these ranges.
    """

    name: str
    pole_pairs: int
    orders: Real
    flux_constants: Real | Complex
    resistance: float
    inductance: float
    kind: Literal["alternating", "commutated"] = "alternating"
    connection: Literal["", "star", "delta"] = ""
    mutual: float = 0.0
    eddy: float = 0.0

    def __post_init__(self) -> None:
        if not self.resistance > 0:
            raise ValueError(f"resistance must be above zero, was {self.resistance:g}")
        if not self.inductance >= 0:
            raise ValueError(f"inductance must be at least zero, was {self.inductance:g}")
        if not -self.inductance / 2 <= self.mutual <= self.inductance:
            raise ValueError(f"mutual must be between -1/2 and 1 of inductance, was {self.mutual:g}")
        if not self.eddy >= 0:
            raise ValueError(f"eddy must be at least zero, was {self.eddy:g}")
        if self.pole_pairs < 1:
            raise ValueError(f"pole_pairs must be at least 1, was {self.pole_pairs}")
        expected = (3, *self.orders.shape) if self.connection else self.orders.shape
        if self.flux_constants.shape != expected or self.orders.ndim != 1 or not self.orders.size:
            shapes = f"{self.orders.shape} and {self.flux_constants.shape}"
            raise ValueError(f"orders and flux_constants must be equally long, were {shapes}")
        if self.kind == "commutated" and (self.orders.tolist() != [0] or self.connection):
            raise ValueError(f"orders of a commutated source must be [0], were {self.orders.tolist()}")
        if self.kind == "alternating" and not (self.orders % 2 == 1).all():
            raise ValueError(f"orders of an alternating source must be odd, were {self.orders.tolist()}")

    @property
    def phases(self) -> int:
        """1 or 3."""
        return 3 if self.connection else 1

    @property
    def star_constants(self) -> Complex:
        """Flux constants (N, K), V·s/rad, of the star that does the same: of one phase both ends, with half of it each.

        A delta of windings R and X does the same as a star of R/3 and X/3 driven by a third of the difference of the
        two windings that meet at a terminal.
        """
        constants: Complex = np.asarray(self.flux_constants, np.complex128)
        if self.connection == "star":
            return constants
        if self.connection == "delta":
            return np.asarray((constants - np.roll(constants, 1, axis=0)) / 3, np.complex128)
        return np.multiply.outer(np.array([0.5 + 0j, -0.5]), constants)

    @property
    def line_constants(self) -> Complex:
        """Flux constants (K,) between the first two terminals, V·s/rad."""
        first, second = self.star_constants[:2]
        return first - second

    @property
    def emf_constant(self) -> float:
        """RMS EMF between two terminals per rad/s of the shaft, V·s/rad."""
        if self.kind == "commutated":
            return float(abs(self.flux_constants[0]))
        return float(np.linalg.norm(self.line_constants) / 2**0.5)

    @property
    def peak_constant(self) -> float:
        """Highest EMF between any two terminals per rad/s of the shaft, V·s/rad."""
        return _peak_constant(self)

    @property
    def arm(self) -> tuple[float, float]:
        """Ω and H of each arm of the star that does the same, whose EMFs are `star_constants`."""
        share = {"": 2, "star": 1, "delta": 3}[self.connection]
        return self.resistance / share, (self.inductance - self.mutual) / share

    @property
    def terminal_resistance(self) -> float:
        """Ω between two terminals, what a meter shows."""
        return 2 * self.arm[0]

    def frequency(self, speed: float) -> float:
        """Electrical frequency in Hz at `speed` (rad/s of the shaft); zero for a commutated source."""
        return 0.0 if self.kind == "commutated" else self.pole_pairs * speed / (2 * pi)

    def torque_constant(self, angle: ArrayLike) -> Real:
        """Torque, N·m, at shaft angles in rad (any shape) for an ampere out of the first terminal into the second."""
        angle = np.asarray(angle, float)
        if self.kind == "commutated":
            return np.full(angle.shape, self.flux_constants[0])
        turned = np.multiply.outer(angle * self.pole_pairs, self.orders)
        return (np.exp(1j * turned) @ self.line_constants).imag

    def emf(self, angle: ArrayLike, speed: ArrayLike) -> Real:
        """EMF between the first two terminals in V at shaft angles (rad) and speeds (rad/s), which broadcast."""
        return np.asarray(speed, float) * self.torque_constant(angle)

    def circulating_square(self, speed: float) -> float:
        """Mean square in A² of the current that runs around a delta by itself at `speed` (rad/s), load or not.

        The mean of the three EMFs drives it, which no load sees; in star and of one phase there is none.
        """
        if self.connection != "delta":
            return 0.0
        inductance = self.inductance + 2 * self.mutual
        impedance = self.resistance + 1j * self.orders * self.pole_pairs * speed * inductance
        return float(np.sum(np.abs(self.flux_constants.mean(axis=0) * speed / impedance) ** 2) / 2)

    def winding_square(self, speed: float, terminals: float) -> float:
        """Sum of the mean squares of the windings' currents, A², from that of the terminals', at `speed` (rad/s)."""
        if self.connection == "delta":
            return terminals / 3 + 3 * self.circulating_square(speed)
        return terminals if self.connection else terminals / 2


@lru_cache(maxsize=64)
def _peak_constant(source: TheveninSource) -> float:
    if source.kind == "commutated":
        return source.emf_constant
    star = (_turned(tuple(source.orders.tolist())) @ source.star_constants.T).imag
    return float(np.ptp(star, axis=1).max())


@lru_cache(maxsize=8)
def _turned(orders: tuple[float, ...]) -> Complex:
    """exp(i·order·angle) over half a period, (2881, K)."""
    half_period = np.linspace(0, pi, 2881)
    return np.exp(1j * np.multiply.outer(half_period, orders))


def thevenin_of(
    layout: Layout,
    temperature: float = 20.0,
    emf: MachineEmf | None = None,
    coupling: tuple[float, float] | None = None,
) -> TheveninSource:
    """The winding of a layout as a source; its copper at `temperature` in °C, its magnets as the layout has them.

    temperature: above −234 °C, where copper's resistance would come to nothing. emf: where it is known already.
    coupling: H of a phase and between two phases, where they are known.
    """
    speed = layout.angular_speed
    waves = (emf or machine_emf(layout)).phases
    cold = resistance(layout, wire_length(layout))
    three = layout.phases == 3
    own, mutual = coupling or (neumann_inductance(layout), mutual_inductance(layout) if three else 0.0)
    constants = np.array([wave.amplitudes * np.exp(1j * wave.angles) for wave in waves]) / speed
    return TheveninSource(
        name=layout.title,
        pole_pairs=layout.carrier.pole_pairs,
        orders=waves[0].orders,
        flux_constants=constants if three else waves[0].amplitudes / speed,
        resistance=resistance_at(cold, temperature),
        inductance=own,
        connection=_connection(layout) if three else "",
        mutual=mutual,
        eddy=eddy_coefficient(layout),
    )


def _connection(layout: Layout) -> Literal["star", "delta"]:
    return "delta" if layout.winding.connection == "delta" else "star"
