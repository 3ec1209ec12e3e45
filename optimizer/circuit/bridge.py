"""A source of any waveform behind a bridge: exact piecewise solution and its periodic steady state.

Over the electrical angle x, while the bridge conducts in the sense s = ±1 with current j = s·i ≥ 0,

    X j' = s e(x) − R j − E − v,      B v' = j − G v,

with reactance X = ω L, barrier E (both diodes and what the sink holds), and, where there is a capacitor, its voltage
v, susceptance B = ω C and the conductance G across it. Each stretch between events is solved in closed form: harmonics
of e plus exponentials. The EMF has odd orders only, so the steady state repeats, turned over, every half period.
Diodes, resistors, inductors and capacitors are passive: two solutions never move apart in stored energy, so the map
over half a period has one steady state (but for pathologies), and bracketing it coordinate by coordinate always ends.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import pi

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.bridge_modes import (
    LEAST_TIME,
    Modes,
    bridge_matrix,
    finest,
    grid_points,
    modes_of,
    panels,
)
from optimizer.numerics.roots import root_between

EXACT = 1e-9  # of the steady state, relative


@dataclass(frozen=True, slots=True)
class ConductionInterval:
    """From `start` to `end` (rad) in the sense `sense` (0: not conducting), beginning with the state (j, v)."""

    sense: int
    start: float
    end: float
    current: float
    volts: float


@dataclass(frozen=True, kw_only=True)
class Bridge:
    """One circuit: orders and amplitudes (K,) of the EMF, V; R, X in Ω; E in V; B, G in S (B zero: no capacitor)."""

    orders: Real
    amplitudes: Real
    resistance: float
    reactance: float
    threshold: float
    susceptance: float = 0.0
    conductance: float = 0.0

    @property
    def has_capacitor(self) -> bool:
        """Whether v is a state of its own."""
        return self.susceptance > 0

    def with_threshold(self, threshold: float) -> Bridge:
        """The same circuit with another barrier; what does not depend on it is not computed again."""
        other = replace(self, threshold=threshold)
        other.__dict__.update(grid=self.grid, on_grid=self.on_grid)
        return other

    def emf(self, angle: float | Real) -> Real:
        """V at x."""
        return np.sin(np.multiply.outer(angle, self.orders)) @ self.amplitudes

    @cached_property
    def modes(self) -> Modes:
        """The conducting circuit's own exponentials and its response to the harmonics."""
        matrix = bridge_matrix(self.resistance, self.reactance, self.susceptance, self.conductance)
        drive = np.zeros(len(matrix))
        drive[0] = 1 / max(self.reactance, LEAST_TIME * self.resistance)
        return modes_of(matrix, drive, self.threshold, (self.orders, self.amplitudes))

    @cached_property
    def grid(self) -> Real:
        """Angles over half a period, fine enough for the harmonics and the circuit's own ringing."""
        ringing = float(np.abs(self.modes.rates.imag).max())
        points = grid_points(self.orders, ringing)
        return np.linspace(0.0, pi, points + 1)

    @cached_property
    def on_grid(self) -> tuple[Real, Real]:
        """EMF and the conducting circuit's response at the grid's points, (M,) and (M, n)."""
        return self.emf(self.grid), self.modes.response(self.grid)

    def conducting(self, stretch: ConductionInterval, angle: Real, response: Real | None = None) -> Real:
        """j and v (…, 2) at angles within a conducting stretch."""
        modes = self.modes
        start = np.array([stretch.current, stretch.volts])[: modes.rates.size]
        at_start = stretch.sense * modes.response(np.array(stretch.start)) + modes.steady
        weights = modes.inverse @ (start - at_start)
        fading = np.exp(np.multiply.outer(np.asarray(angle) - stretch.start, modes.rates)) * weights
        forced = modes.response(angle) if response is None else response
        found = (fading @ modes.vectors.T).real + stretch.sense * forced + modes.steady
        return found if self.has_capacitor else np.concatenate((found, np.zeros_like(found)), axis=-1)

    def idle_volts(self, stretch: ConductionInterval, angle: float | Real) -> Real:
        """Volts of the capacitor within a stretch that does not conduct; zero without one."""
        if not self.has_capacitor:
            return np.zeros_like(angle)
        return stretch.volts * np.exp(-self.conductance / self.susceptance * (angle - stretch.start))

    def half_period(self, current: float, volts: float) -> list[ConductionInterval]:
        """All stretches from x = 0 to π, from the signed current and the capacitor's volts at 0."""
        stretches: list[ConductionInterval] = []
        sense = int(np.sign(current))
        here, state = 0.0, (abs(current), volts)
        while here < pi:
            if sense == 0:
                stretch, after = self._idle(here, state[1])
            else:
                stretch, after = self._conduct(sense, here, state)
            stretches.append(stretch)
            here, state, sense = stretch.end, self.state_at_end(stretch), after
        return stretches

    def state_at_end(self, stretch: ConductionInterval) -> tuple[float, float]:
        """j (not below zero) and v at the end of a stretch."""
        if stretch.sense == 0:
            return 0.0, float(self.idle_volts(stretch, stretch.end))
        current, volts = self.conducting(stretch, np.array(stretch.end)).tolist()
        return max(current, 0.0), volts

    def _idle(self, here: float, volts: float) -> tuple[ConductionInterval, int]:
        """Until the EMF beats barrier and capacitor."""
        whole = ConductionInterval(0, here, pi, 0.0, volts)

        def excess(angle: float) -> float:
            return float(abs(self.emf(angle)) - self.threshold - self.idle_volts(whole, angle))

        first = int(np.searchsorted(self.grid, here, side="right"))
        ahead = self.grid[first:]
        over = np.abs(self.on_grid[0][first:]) - self.threshold - self.idle_volts(whole, ahead)
        beaten = np.flatnonzero(over > 0)
        if not beaten.size:
            return whole, 0
        high = float(ahead[beaten[0]])
        low = float(ahead[beaten[0] - 1]) if beaten[0] else here
        at = root_between(excess, low, high, 1e-13) if excess(low) < 0 else low
        at = max(at, here)
        return ConductionInterval(0, here, at, 0.0, volts), 1 if self.emf(high) > 0 else -1

    def _conduct(self, sense: int, here: float, state: tuple[float, float]) -> tuple[ConductionInterval, int]:
        """Until the current comes to nothing; then perhaps at once the other way."""
        whole = ConductionInterval(sense, here, pi, *state)
        first = int(np.searchsorted(self.grid, here + 1e-12, side="right"))
        ahead, forced = self.grid[first:], self.on_grid[1][first:]
        if not ahead.size:
            return whole, sense
        ended = np.flatnonzero(self.conducting(whole, ahead, forced)[:, 0] < 0)
        if not ended.size:
            return whole, sense
        high = float(ahead[ended[0]])
        if ended[0] == 0 and state[0] == 0:  # risen and gone within one step of the grid
            return ConductionInterval(0, here, high, 0.0, state[1]), 0
        low = float(ahead[ended[0] - 1]) if ended[0] else here
        at = root_between(lambda x: float(self.conducting(whole, np.array(x))[0]), low, high, 1e-13)
        stretch = ConductionInterval(sense, here, at, *state)
        against = -sense * float(self.emf(at)) - self.threshold - self.state_at_end(stretch)[1]
        return stretch, -sense if against > 0 else 0

    def steady(self, guess: float = 0.0) -> list[ConductionInterval]:
        """The stretches over half a period of the steady state; `guess`: the capacitor's volts, near enough."""
        if not self.has_capacitor:
            return self.half_period(self._steady_current(0.0), 0.0)
        return self.half_period(*self._steady_state(guess))

    def _after(self, current: float, volts: float) -> tuple[float, float]:
        """Signed current, turned over, and volts after half a period."""
        last = self.half_period(current, volts)[-1]
        found, remaining = self.state_at_end(last)
        return -last.sense * found, remaining

    def _steady_current(self, volts: float) -> float:
        """The current at x = 0 that comes back turned over, the volts there given."""
        first = self._after(0.0, volts)[0]
        if first == 0:
            return 0.0
        return root_between(lambda i: self._after(i, volts)[0] - i, 0.0, first, EXACT * self._amps)

    @cached_property
    def _amps(self) -> float:
        """A scale for currents."""
        return float(np.abs(self.on_grid[0]).max()) / (self.resistance + self.reactance) + 1e-30

    def _steady_state(self, guess: float) -> tuple[float, float]:
        """Newton's method in both coordinates, then nested brackets should it not settle."""
        volts_scale = float(np.abs(self.on_grid[0]).max()) + 1e-30
        lost = min(
            pi * self.conductance / self.susceptance, 1.0
        )  # share of the charge drawn in half a period
        tolerance = np.array([EXACT * self._amps, max(EXACT * lost, 1e-14) * volts_scale])
        state = np.array([0.0, guess])
        for _ in range(15):
            after = np.array(self._after(*state.tolist()))
            if (np.abs(after - state) < tolerance).all():
                return float(state[0]), float(state[1])
            state = self._newton(state, after, np.array([self._amps, volts_scale]))
        highest = 1.5 * volts_scale + self._ringing_volts(volts_scale)

        def missed(volts: float) -> float:
            return self._after(self._steady_current(volts), volts)[1] - volts

        volts = root_between(missed, 0.0, highest, 1e-13 * volts_scale)
        return self._steady_current(volts), volts

    def _ringing_volts(self, emf: float) -> float:
        """More than resonance of L and C can add to the volts, V."""
        quality = (self.reactance / self.susceptance) ** 0.5 / self.resistance
        return emf * quality

    def _newton(self, state: Real, after: Real, scale: Real) -> Real:
        jacobian = -np.eye(2)
        for axis in (0, 1):
            if axis == 0 and state[0] == 0 and after[0] == 0:
                continue
            moved = state.copy()
            moved[axis] += 1e-6 * scale[axis]
            change = np.array(self._after(*moved.tolist())) - after
            jacobian[:, axis] += change / (moved[axis] - state[axis])
        found = state - np.linalg.solve(jacobian, after - state)
        return np.array([found[0], max(found[1], 0.0)])

    def means(self, stretches: Sequence[ConductionInterval], product: Callable[[Real, Real, Real], Real]) -> float:
        """Mean over the period of product(j, v, s·e) on the conducting stretches, by Gauss's rule."""
        total = 0.0
        for stretch in stretches:
            if stretch.sense:
                nodes, weights = self._panels(stretch)
                state = self.conducting(stretch, nodes)
                total += float(
                    product(state[..., 0], state[..., 1], stretch.sense * self.emf(nodes)) @ weights
                )
        return total / pi

    def mean_square_volts(self, stretches: Sequence[ConductionInterval]) -> tuple[float, float]:
        """Means of v and v² over the period."""
        mean = self.means(stretches, lambda j, v, e: v)
        square = self.means(stretches, lambda j, v, e: v * v)
        for stretch in stretches:
            if stretch.sense == 0 and self.has_capacitor:
                rate = self.conductance / self.susceptance
                span = stretch.end - stretch.start
                mean += stretch.volts * -np.expm1(-rate * span) / rate / pi
                square += stretch.volts**2 * -np.expm1(-2 * rate * span) / (2 * rate) / pi
        return float(mean), float(square)

    def _panels(self, stretch: ConductionInterval) -> tuple[Real, Real]:
        rates = self.modes.rates
        return panels(stretch.start, stretch.end, float(np.abs(rates).max()), finest(self.orders, rates))


def sampled(bridge: Bridge, stretches: Sequence[ConductionInterval], angles: Real) -> tuple[Real, Real]:
    """Signed current in A and the capacitor's volts at angles (M,) within half a period, ascending from 0 to π."""
    current, volts = np.zeros_like(angles), np.zeros_like(angles)
    for stretch in stretches:
        here = (angles >= stretch.start) & (angles <= stretch.end)
        if stretch.sense == 0:
            volts[here] = bridge.idle_volts(stretch, angles[here])
            current[here] = 0.0
        else:
            state = bridge.conducting(stretch, angles[here])
            current[here], volts[here] = stretch.sense * np.maximum(state[:, 0], 0.0), state[:, 1]
    return current, volts


def conducting_share(stretches: Sequence[ConductionInterval]) -> float:
    """Share of the period in which current flows."""
    return sum(stretch.end - stretch.start for stretch in stretches if stretch.sense) / pi
