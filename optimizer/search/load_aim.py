"""What a layout is worth for a load, exactly and as a law of EMF and resistance near one machine."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from geometry.curves.curve import Real
from geometry.machine.layout import Layout
from geometry.machine.speed import rpm_of
from geometry.stock.wire import Wire
from optimizer.circuit.loads.load import steady_state
from optimizer.circuit.thevenin import TheveninSource, thevenin_of
from optimizer.evaluation.copper import resistance, wire_length
from optimizer.field.emf import machine_emf
from optimizer.loads.electromagnetic_torque import cut_in_speed, working_rpm
from optimizer.loads.load_target import LoadTarget

UNLIMITED = 1e6  # rpm; stands for a speed that is never reached
UNFED = 1e-12  # times the cut-in speed's inverse: worth of a machine that gives the load nothing
NUDGE = 1e-3  # relative, of EMF and resistance, by which their weight is found
WEIGHTS = (0.05, 50.0)  # least and greatest exponent of the EMF that is believed
FAINT = 0.01  # share of the first order below which the effect of another is not told
UNLIKE = 3.0  # times the doubt about the EMF: waveform and load are in the exact worth too


@dataclass(frozen=True, slots=True)
class LoadWorth:
    """What layouts near one are worth for a target: W for "load_power", else 1/rpm, the more the better.

    Where the load gets nothing it is next to nothing, and less the later the output begins. coupling: H of a phase and
    between two phases, each over its turns squared, which near layouts share. rpm: a speed by the watts at which two
    layouts are told apart sooner than by the lowest speeds at which they work, or None. about: rpm of the layout itself
    at which the load works, where that is asked for.
    """

    target: LoadTarget
    coupling: tuple[float, float]
    rpm: float | None = None
    about: float | None = None

    @classmethod
    def near(cls, layout: Layout, target: LoadTarget) -> LoadWorth:
        """With the inductances of a layout."""
        source, square = thevenin_of(layout), layout.winding.turns**2
        about = None if target.kind == "load_power" else value_of(source, layout.speed_rpm, target)
        coupling = source.inductance / square, source.mutual / square
        return cls(target, coupling, about=about if about and about < UNLIMITED else None)

    def __call__(self, layout: Layout) -> float:
        return self.of(self.source(layout), layout.speed_rpm)

    def source(self, layout: Layout) -> TheveninSource:
        """A layout near the one that the coupling is of."""
        own, mutual = (each * layout.winding.turns**2 for each in self.coupling)
        return thevenin_of(layout, coupling=(own, mutual))

    def of(self, source: TheveninSource, speed_rpm: float) -> float:
        """Of a source, W or 1/rpm, to digits that are worth a move."""
        power = self.target.kind == "load_power" or self.rpm is not None
        target = replace(self.target, kind="load_power", watts=None) if power else self.target
        value = value_of(source, self.rpm or speed_rpm, target, self.about)
        worth = value if power else 1 / max(value, NUDGE)
        if value == 0 if power else value >= UNLIMITED:
            worth = UNFED / max(rpm_of(cut_in_speed(source, target.load)), NUDGE)
        return float(f"{worth:.6g}")

    def growth(self, source: TheveninSource, watts: float) -> float:
        """Exponent, no unit, with which the watts at its rpm grow with the speed."""
        assert self.rpm is not None
        faster = replace(self, rpm=self.rpm * (1 + NUDGE)).of(source, 0.0)
        return float(np.log(faster / watts) / np.log1p(NUDGE))

    def sooner(self, layout: Layout) -> LoadWorth:
        """One that tells near layouts apart as this does, but sooner."""
        if self.target.kind == "load_power" or self.target.needed_watts == 0:
            return self
        rpm = value_of(self.source(layout), layout.speed_rpm, self.target, self.about)
        return replace(self, rpm=rpm) if rpm < UNLIMITED else self


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadAim:
    """The law of a load's worth near one machine, as an objective: EMF to the power `volts` times Ω to `ohms`.

    What counts of the EMF is the sum of its orders' squares by `shares` (order to weight, none for others), so that
    each order has its true effect on the load. square: that sum, V², and resistance: Ω of a phase, of the machine;
    here: its worth. exact: in place of the law, of layouts.
    """

    shares: tuple[tuple[int, float], ...]
    square: float
    resistance: float
    here: float
    volts: float
    ohms: float
    exact: LoadWorth | None = None

    @classmethod
    def near(cls, layout: Layout, worth: LoadWorth) -> LoadAim:
        """The law near a layout."""
        source = worth.source(layout)
        here, constants = worth.of(source, layout.speed_rpm), np.asarray(source.flux_constants)

        fixed = worth.sooner(layout)  # of the lowest speed the watts at it tell the same, over how they grow with it
        watts = fixed.of(source, layout.speed_rpm)
        growth = 1.0 if fixed.rpm is None else fixed.growth(source, watts)

        def weight(**nudged: Any) -> float:
            moved = fixed.of(replace(source, **nudged), layout.speed_rpm)
            return float(np.log(moved / watts) / np.log1p(NUDGE) / growth)

        amplitudes = np.abs(constants[0] if source.connection else constants)
        strong = amplitudes > FAINT * amplitudes[0]
        felt = np.array([
            weight(flux_constants=np.where(source.orders == order, 1 + NUDGE, 1) * constants) if told else 0.0
            for order, told in zip(source.orders, strong, strict=True)
        ])  # fmt: skip
        volts, ohms = felt.sum(), weight(resistance=source.resistance * (1 + NUDGE))
        shares = felt / np.maximum(amplitudes, FAINT * amplitudes[0]) ** 2
        shares = shares / shares[0] if shares[0] > 0 else strong.astype(float)
        known = tuple(zip(source.orders.astype(int).tolist(), shares.tolist(), strict=True))
        law = cls(
            shares=known, square=1.0, resistance=1.0, here=here, volts=float(np.clip(volts, *WEIGHTS)),
            ohms=float(np.clip(ohms, -WEIGHTS[1], 0.0)),
        )  # fmt: skip
        square, resistance = law.square_and_ohms(layout)
        return replace(law, square=square, resistance=resistance)

    @property
    def steepness(self) -> float:
        """See `Aim`; of the exact worth the law tells less."""
        return max(self.volts, 1.0) * (1.0 if self.exact is None else UNLIKE)

    def weights(self, orders: Real) -> Real:
        """See `Aim`."""
        known = dict(self.shares)
        return np.array([known.get(int(order), 0.0) for order in orders])

    def merit(self, turns: ArrayLike, length: ArrayLike, wire: Wire, phases: int = 1) -> Real:
        """See `Aim`."""
        del phases  # each has the same share of the load
        turns = np.asarray(turns, float)
        share = turns * np.asarray(length) * wire.resistance_per_metre / self.resistance
        return turns**2 * share ** (2 * self.ohms / self.volts) / self.square

    def from_square(self, merit_times_square: ArrayLike) -> Real:
        """See `Aim`."""
        return self.here * np.maximum(merit_times_square, UNFED) ** (self.volts / 2)

    def worth(self, layout: Layout) -> float:
        """See `Aim`."""
        if self.exact is not None:
            return self.exact(layout)
        square, ohms = self.square_and_ohms(layout)
        return float(self.from_square(square / self.square) * (ohms / self.resistance) ** self.ohms)

    def square_and_ohms(self, layout: Layout) -> tuple[float, float]:
        """What counts of the EMF's square, V², and Ω of a phase."""
        wave = machine_emf(layout).phases[0]
        square = float(self.weights(wave.orders) @ np.abs(wave.amplitudes) ** 2) / 2
        return square, resistance(layout, wire_length(layout))


def value_of(source: TheveninSource, speed_rpm: float, target: LoadTarget, near: float | None = None) -> float:
    """W that the load gets, or the lowest rpm at which it works (`UNLIMITED` for never); near: about so many rpm."""
    if target.kind == "load_power":
        return steady_state(source, target.load, speed_rpm).load_watts
    if target.needed_watts == 0:
        return rpm_of(cut_in_speed(source, target.load))
    return working_rpm(source, target.load, target.needed_watts, near) or UNLIMITED
