"""The circuit that one path through a bridge of six diodes makes: how it moves, and what ends it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import ceil, pi

import numpy as np

from geometry.curves.curve import Complex, Real
from optimizer.circuit.bridge_modes import (
    LEAST_TIME,
    Modes,
    bridge_matrix,
    finest,
    grid_points,
    modes_of,
    panels,
)
from optimizer.circuit.three_paths import PATHS, DiodePath
from optimizer.numerics.roots import root_between

ALIKE = 1e-9  # relative; EMFs that differ by less are alike


@dataclass(frozen=True, kw_only=True, eq=False)
class Feed:
    """Three EMFs in star and what they feed.

    orders (K,), amplitudes (3, K): of the EMFs, e = Im Σ amplitude exp(i order x), V, the amplitudes complex.
    resistance, reactance: of each arm of the star, Ω. ohms: in series with the rails. threshold: two diodes and what
    the sink holds, V. susceptance, conductance: of the capacitor (zero: none) and what lies across it, S.
    """

    orders: Real
    amplitudes: Complex
    resistance: float
    reactance: float
    threshold: float
    ohms: float = 0.0
    susceptance: float = 0.0
    conductance: float = 0.0

    def emf(self, angle: float | Real) -> Real:
        """EMFs (…, 3) in V at angles x in rad."""
        return (np.exp(1j * np.multiply.outer(angle, self.orders)) @ self.amplitudes.T).imag

    @cached_property
    def turn(self) -> tuple[int, ...]:
        """Whose currents, reversed, each terminal has after `span`: () when that is half a period and its own."""
        sixth = np.exp(1j * pi / 3 * self.orders) * self.amplitudes
        for order in ((1, 2, 0), (2, 0, 1)):
            if np.abs(sixth + self.amplitudes[list(order)]).max() < ALIKE * np.abs(self.amplitudes).max():
                return order
        return ()

    @property
    def span(self) -> float:
        """After which all repeats, turned over, rad."""
        return pi / 3 if self.turn else pi

    @cached_property
    def grid(self) -> Real:
        """Angles over a span, fine enough for the harmonics and the circuit's own ringing."""
        matrix = bridge_matrix(
            1.5 * self.resistance + self.ohms, 1.5 * self.reactance, self.susceptance, self.conductance
        )
        ringing = float(np.abs(np.linalg.eigvals(matrix).imag).max())
        points = grid_points(self.orders, ringing)
        return np.linspace(0.0, self.span, ceil(points * self.span / pi) + 1)

    @cached_property
    def emf_on_grid(self) -> Real:
        """(M, 3)."""
        return self.emf(self.grid)


@dataclass(frozen=True, slots=True)
class ThreePhaseInterval:
    """From `start` to `end` (rad) on a path (None: nothing flows), beginning with J, k and v; see `three_paths`."""

    path: DiodePath | None
    start: float
    end: float
    total: float
    across: float
    volts: float


@dataclass(frozen=True, eq=False)
class Circuit:
    """A path in one bridge."""

    feed: Feed
    path: DiodePath

    @cached_property
    def loop(self) -> Modes:
        """Of J and, with a capacitor, v: the circuit of a bridge with one winding."""
        feed, copies = self.feed, self.path.copies
        resistance, reactance = copies * feed.resistance + feed.ohms, copies * feed.reactance
        matrix = bridge_matrix(resistance, reactance, feed.susceptance, feed.conductance)
        drive = np.zeros(len(matrix))
        drive[0] = 1 / max(reactance, LEAST_TIME * resistance)
        return modes_of(matrix, drive, feed.threshold, (feed.orders, self.path.loop @ feed.amplitudes))

    @cached_property
    def across_rate(self) -> float:
        """How fast k fades, per rad."""
        return self.feed.resistance / max(self.feed.reactance, LEAST_TIME * self.feed.resistance)

    @cached_property
    def across_phasors(self) -> Complex:
        """Of k under the harmonics, (K,)."""
        impedance = self.feed.resistance * (1 + 1j * self.feed.orders / self.across_rate)
        return np.asarray(self.path.across @ self.feed.amplitudes / impedance, np.complex128)

    def across_response(self, angle: float | Real) -> Real:
        """k under the harmonics, long after any start."""
        return (np.exp(1j * np.multiply.outer(angle, self.feed.orders)) @ self.across_phasors).imag

    @cached_property
    def on_grid(self) -> tuple[Real, Real]:
        """Responses of the loop and of k at the grid's points, (M, n) and (M,)."""
        return self.loop.response(self.feed.grid), self.across_response(self.feed.grid)

    def at(
        self, stretch: ThreePhaseInterval, angle: Real, forced: tuple[Real, Real] | None = None
    ) -> tuple[Real, Real, Real]:
        """J, k and v, of the shape of `angle`, within a stretch; `forced`: the responses there, if known."""
        loop, after = self.loop, np.asarray(angle) - stretch.start
        loop_forced, across_forced = forced or (loop.response(angle), self.across_response(angle))
        start = np.array([stretch.total, stretch.volts])[: loop.rates.size]
        weights = loop.inverse @ (start - loop.response(stretch.start) - loop.steady)
        fading = np.exp(np.multiply.outer(after, loop.rates)) * weights
        state = (fading @ loop.vectors.T).real + loop_forced + loop.steady
        volts = state[..., 1] if loop.rates.size == 2 else np.zeros_like(state[..., 0])
        if not self.path.parted:
            return state[..., 0], np.zeros_like(volts), volts
        rest = stretch.across - self.across_response(stretch.start)
        return state[..., 0], across_forced + rest * np.exp(-self.across_rate * after), volts

    def margins(self, state: tuple[Real, Real, Real], emf: Real) -> Real:
        """How far (…, E) the state is from each of the events of `ways`; below zero it is past it."""
        total, across, volts = state
        if self.path.parted:
            return np.stack([total / 2 + across, total / 2 - across], axis=-1)
        half_rail = (self.feed.threshold + volts + self.feed.ohms * total) / 2
        free = emf @ self.path.free_potential
        return np.stack([total, half_rail - free, half_rail + free], axis=-1)

    @cached_property
    def ways(self) -> tuple[DiodePath | None, ...]:
        """The path after each event: a terminal has ceased to conduct, or the free one begins."""
        if self.path.parted:
            first, second = self.path.sharers
            return PATHS[self.path.with_sign(first, 0)], PATHS[self.path.with_sign(second, 0)]
        free = self.path.free
        return None, PATHS[self.path.with_sign(free, 1)], PATHS[self.path.with_sign(free, -1)]

    @property
    def joins(self) -> tuple[int, ...]:
        """The events by which a terminal begins to conduct."""
        return () if self.path.parted else (1, 2)

    def until_change(self, whole: ThreePhaseInterval) -> tuple[ThreePhaseInterval, DiodePath | None]:
        """As much of a stretch as ends with the first event, and the path after it."""
        grid = self.feed.grid
        first = int(np.searchsorted(grid, whole.start + 1e-12, side="right"))
        ahead, (loop, across) = grid[first:], self.on_grid
        state = self.at(whole, ahead, (loop[first:], across[first:]))
        past = self.margins(state, self.feed.emf_on_grid[first:]) < 0
        rows = np.flatnonzero(past.any(axis=1))
        if not rows.size:
            return whole, self.path
        high = float(ahead[rows[0]])
        low = float(ahead[rows[0] - 1]) if rows[0] else whole.start
        at, event = min(
            self._when(whole, event, low, high) for event in np.flatnonzero(past[rows[0]]).tolist()
        )
        return ThreePhaseInterval(self.path, whole.start, at, whole.total, whole.across, whole.volts), self.ways[event]

    def _when(self, whole: ThreePhaseInterval, event: int, low: float, high: float) -> tuple[float, int]:
        """When a margin that is below zero at `high` becomes so.

        A free terminal that is beyond a rail at `low` conducts at once; a current that begins with nothing there and
        has less at `high` is taken to end at `high`.
        """

        def margin(angle: float) -> float:
            x = np.array(angle)
            return float(self.margins(self.at(whole, x), self.feed.emf(x))[event])

        if margin(low) > 0:
            return root_between(margin, low, high, 1e-13), event
        return (low if event in self.joins else high), event

    def panels(self, stretch: ThreePhaseInterval) -> tuple[Real, Real]:
        """Gauss nodes and weights over a stretch."""
        rates = self.loop.rates
        quick = max(float(np.abs(rates).max()), self.across_rate if self.path.parted else 0.0)
        return panels(stretch.start, stretch.end, quick, finest(self.feed.orders, rates))
