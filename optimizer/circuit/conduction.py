"""Paths through a bridge of two diodes for each of two or three terminals; the linear circuit that each makes.

Terminals of a star stand for any winding: e_k behind R and X = ω L, joined at a free neutral; one winding is two, with
half of it each. While the terminals of a path conduct, all of one sign s by the upper diodes, the others by the lower,

    X i_k' = (e − mean e)_k − R i_k − (s − mean s)_k W/2,      W = threshold + ohms · J + v,

means over the path's terminals, J the current of the rails. Two terminals make one loop of 2 R and 2 X, driven by the
difference of their EMFs. Three make a loop of 1.5 R and 1.5 X, the single one g against the mean of the other two, and,
apart from it, a current k that those two pass to each other through R and X: their share is J/2 ± k.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from math import ceil, pi
from typing import TypeAlias

import numpy as np

from geometry.curves.curve import Complex, Real
from optimizer.numerics.quadrature import gauss
from optimizer.numerics.roots import root_between

MIN_TIME = 1e-6  # rad; X/R is never taken for less
GRID, FINEST = 400, 6000  # points over half a period between which events are sought
PANEL = 12  # Gauss points of a panel
PARTED = 1e-5  # relative; rates nearer to each other are parted
ALIKE = 1e-9  # relative; EMFs that differ by less are alike
State: TypeAlias = tuple[Real, Real, Real]  # J, k and v
Motion: TypeAlias = Callable[[Real, Complex], State]  # by angles in rad and the feed's waves there


@dataclass(frozen=True, slots=True)
class DiodePath:
    """signs: +1 for a terminal that feeds the upper rail, −1 for one that the lower rail feeds, 0 for a free one.

    loop: weights (N,) of the EMFs that drive J; copies: how many times R and X that loop has. across: weights (N,) that
    drive k, zero for a path of two terminals. sharers: the two terminals that share a rail, if two do.
    """

    signs: tuple[int, ...]
    loop: Real
    copies: float
    across: Real
    sharers: tuple[int, ...]

    def currents(self, total: Real, across: Real) -> Real:
        """Signed currents of the terminals (…, N) out of J and k, (…,) each, A."""
        currents = np.multiply.outer(total, np.array(self.signs, float))
        for terminal, share in zip(self.sharers, (total / 2 + across, total / 2 - across), strict=False):
            currents[..., terminal] = self.signs[terminal] * share
        return currents

    def state(self, currents: Real) -> tuple[float, float]:
        """J and k, A, out of currents (N,) that this path carries."""
        total = float(np.abs(currents).sum() / 2)
        if not self.sharers:
            return total, 0.0
        first, second = self.sharers
        return total, float(self.signs[first] * (currents[first] - currents[second]) / 2)

    def with_sign(self, terminal: int, sign: int) -> tuple[int, ...]:
        """The signs once a terminal begins to conduct as `sign` says, or ceases to (0)."""
        return *self.signs[:terminal], sign, *self.signs[terminal + 1 :]

    @property
    def free_potential(self) -> Real:
        """Factors (N,) of the EMFs that give the free terminal's potential above the middle of the rails."""
        return np.array([-0.5 if sign else 1.0 for sign in self.signs])


def _path(signs: tuple[int, ...]) -> DiodePath:
    s = np.array(signs, float)
    on = np.abs(s)
    direction = (s - on * s.sum() / on.sum()) / 2
    copies = 1 / float(direction @ direction)
    across, sharers = np.zeros(len(signs)), tuple(np.flatnonzero(s == np.sign(s.sum())).tolist() if s.sum() else ())
    for terminal, half in zip(sharers, (0.5, -0.5), strict=False):
        across[terminal] = s[terminal] * half
    return DiodePath(signs, direction * copies, copies, across, sharers)


PATHS: dict[tuple[int, ...], DiodePath] = {
    signs: _path(signs)
    for terminals in (2, 3)
    for signs in product((-1, 0, 1), repeat=terminals)
    if 1 in signs and -1 in signs
}
"""Every way, by its signs: two through two terminals; of three, six through two and six through all."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Feed:
    """EMFs in star, of two terminals or three, and what they feed.

    orders (K,), amplitudes (N, K): of the EMFs, e = Im Σ amplitude exp(i order x), V, the amplitudes complex.
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
        """EMFs (…, N) in V at angles x in rad."""
        return (self.waves(angle) @ self.amplitudes.T).imag

    def waves(self, angle: float | Real) -> Complex:
        """exp(i order x), without unit, (…, K), at angles x in rad."""
        return np.exp(np.asarray(angle)[..., None] * (1j * self.orders))

    @cached_property
    def turn(self) -> tuple[int, ...]:
        """Whose currents, reversed, each terminal has after `span`."""
        own = tuple(range(len(self.amplitudes)))
        sixth = np.exp(1j * pi / 3 * self.orders) * self.amplitudes
        for order in ((1, 2, 0), (2, 0, 1)) if len(own) == 3 else ():
            if np.abs(sixth + self.amplitudes[list(order)]).max() < ALIKE * np.abs(self.amplitudes).max():
                return order
        return own

    @property
    def span(self) -> float:
        """After which all repeats, turned over, rad: a sixth of a period of three EMFs alike, else half of one."""
        return pi / 3 if self.turn[0] else pi

    @cached_property
    def grid(self) -> Real:
        """Angles (M,) in rad over a span, fine enough for the harmonics and the circuit's own ringing."""
        copies = len(self.amplitudes) / (len(self.amplitudes) - 1)
        ringing = float(np.abs(np.linalg.eigvals(self.matrix(copies)).imag).max())
        points = min(max(GRID, 14 * self.orders.max(), 40 * ringing), FINEST)
        return np.linspace(0.0, self.span, ceil(int(points) * self.span / pi) + 1)

    @cached_property
    def waves_on_grid(self) -> Complex:
        """The `waves` at the `grid`, without unit, (M, K)."""
        return self.waves(self.grid)

    @cached_property
    def apart_on_grid(self) -> Real:
        """V between the highest and the lowest of the EMFs, (M,)."""
        return np.ptp((self.waves_on_grid @ self.amplitudes.T).imag, axis=1)

    def matrix(self, copies: float) -> Real:
        """Per rad, of the states J and, with a capacitor, v, (S, S), in a loop that has R and X so many times."""
        resistance = copies * self.resistance + self.ohms
        reactance = max(copies * self.reactance, MIN_TIME * resistance)
        if self.susceptance == 0:
            return np.array([[-resistance / reactance]])
        top = [-resistance / reactance, -1 / reactance]
        return np.array([top, [1 / self.susceptance, -self.conductance / self.susceptance]])


@dataclass(frozen=True, slots=True)
class ConductionInterval:
    """From `start` to `end` (rad) on a path (None: nothing flows), beginning with J and k in A and v in V."""

    path: DiodePath | None
    start: float
    end: float
    total: float
    across: float
    volts: float


@dataclass(frozen=True, slots=True)
class Modes:
    """How the conducting circuit moves: rates (N,), 1/rad, vectors, inverse (N, N), steady (N,), phasors (K, N)."""

    rates: Complex
    vectors: Complex
    inverse: Complex
    steady: Real
    phasors: Complex


def modes_of(matrix: Real, drive: Real, threshold: float, orders: Real, amplitudes: Complex) -> Modes:
    """Modes of y' = matrix y + drive (e − threshold) over x in rad; e = Im Σ amplitude exp(i order x), V.

    matrix: (N, N). drive: (N,). orders, amplitudes: (K,).
    """
    rates, vectors = np.linalg.eig(matrix)
    if rates.size == 2 and abs(rates[0] - rates[1]) < PARTED * abs(rates[0]):
        matrix = matrix * np.array([[1, 1], [1, 1 + 1e-4]])
        rates, vectors = np.linalg.eig(matrix)
    systems = 1j * orders[:, None, None] * np.eye(drive.size) - matrix
    forced = np.linalg.solve(systems, np.broadcast_to(drive[:, None], (orders.size, drive.size, 1)))[..., 0]
    return Modes(
        np.asarray(rates, np.complex128),
        np.asarray(vectors, np.complex128),
        np.asarray(np.linalg.inv(vectors), np.complex128),
        np.asarray(np.linalg.solve(matrix, drive * threshold), np.float64),
        np.asarray(forced * amplitudes[:, None], np.complex128),
    )


@dataclass(frozen=True, eq=False)
class ConductingCircuit:
    """A path in one bridge."""

    feed: Feed
    path: DiodePath

    @cached_property
    def loop(self) -> Modes:
        """Of J and, with a capacitor, v."""
        feed, copies = self.feed, self.path.copies
        matrix = feed.matrix(copies)
        drive = np.zeros(len(matrix))
        drive[0] = 1 / max(copies * feed.reactance, MIN_TIME * (copies * feed.resistance + feed.ohms))
        return modes_of(matrix, drive, feed.threshold, feed.orders, self.path.loop @ feed.amplitudes)

    @cached_property
    def across_rate(self) -> float:
        """How fast k fades, per rad."""
        return self.feed.resistance / max(self.feed.reactance, MIN_TIME * self.feed.resistance)

    @cached_property
    def across_phasors(self) -> Complex:
        """Phasors of k under the harmonics, A, (K,)."""
        impedance = self.feed.resistance * (1 + 1j * self.feed.orders / self.across_rate)
        return np.asarray(self.path.across @ self.feed.amplitudes / impedance, np.complex128)

    def motion(self, stretch: ConductionInterval) -> Motion:
        """How a stretch goes on."""
        loop, then = self.loop, self.feed.waves(stretch.start)
        start = np.array([stretch.total, stretch.volts])[: loop.rates.size]
        weights = loop.inverse @ (start - (then @ loop.phasors).imag - loop.steady)
        fading = weights[:, None] * loop.vectors.T
        rest = stretch.across - (then @ self.across_phasors).imag if self.path.sharers else 0.0

        def at(angle: Real, waves: Complex) -> State:
            after = np.asarray(angle) - stretch.start
            state = (np.exp(after[..., None] * loop.rates) @ fading).real + (waves @ loop.phasors).imag + loop.steady
            across = nothing = np.zeros(after.shape)
            if self.path.sharers:
                across = (waves @ self.across_phasors).imag + rest * np.exp(-self.across_rate * after)
            return state[..., 0], across, state[..., 1] if loop.rates.size == 2 else nothing

        return at

    def at(self, stretch: ConductionInterval, angle: Real) -> State:
        """J and k in A and v in V within a stretch at angles in rad, of any shape."""
        return self.motion(stretch)(angle, self.feed.waves(angle))

    def margins(self, state: State, waves: Complex) -> Real:
        """How far (…, E), in A or V, the state is from each of the events of `ways`; below zero it is past it."""
        total, across, volts = state
        if self.path.sharers:
            return np.stack([total / 2 + across, total / 2 - across], axis=-1)
        if 0 not in self.path.signs:
            return total[..., None]
        half_rail = (self.feed.threshold + volts + self.feed.ohms * total) / 2
        free = (waves @ self.free_phasors).imag
        return np.stack([total, half_rail - free, half_rail + free], axis=-1)

    @cached_property
    def free_phasors(self) -> Complex:
        """Of the free terminal's volts above the middle of the rails, (K,), V."""
        return self.path.free_potential @ self.feed.amplitudes

    @cached_property
    def ways(self) -> tuple[DiodePath | None, ...]:
        """The path after each event: a terminal has ceased to conduct, or the free one begins."""
        path = self.path
        if path.sharers:
            return tuple(PATHS[path.with_sign(terminal, 0)] for terminal in path.sharers)
        if 0 not in path.signs:
            return (None,)
        return None, *(PATHS[path.with_sign(path.signs.index(0), sign)] for sign in (1, -1))

    def until_change(self, whole: ConductionInterval) -> tuple[ConductionInterval, DiodePath | None]:
        """As much of a stretch as ends with the first event, and the path after it."""
        grid = self.feed.grid
        first = int(np.searchsorted(grid, whole.start + 1e-12, side="right"))
        ahead, waves, motion = grid[first:], self.feed.waves_on_grid[first:], self.motion(whole)
        past = self.margins(motion(ahead, waves), waves) < 0
        rows = np.flatnonzero(past.any(axis=1))
        if not rows.size:
            return whole, self.path
        high = float(ahead[rows[0]])
        low = float(ahead[rows[0] - 1]) if rows[0] else whole.start
        at, event = min(self._when(motion, event, low, high) for event in np.flatnonzero(past[rows[0]]).tolist())
        return ConductionInterval(self.path, whole.start, at, whole.total, whole.across, whole.volts), self.ways[event]

    def _when(self, motion: Motion, event: int, low: float, high: float) -> tuple[float, int]:
        """When a margin that is below zero at `high` becomes so.

        A free terminal that is beyond a rail at `low` conducts at once; a current that begins with nothing there and
        has less at `high` is taken to end at `high`.
        """

        def margin(angle: float) -> float:
            waves = self.feed.waves(angle)
            return float(self.margins(motion(np.array(angle), waves), waves)[event])

        if margin(low) > 0:
            return root_between(margin, low, high, 1e-13), event
        return (low if event and not self.path.sharers else high), event

    def panels(self, stretch: ConductionInterval) -> tuple[Real, Real]:
        """Gauss nodes and weights (Q,) over a stretch, in rad: short panels where exponentials fade quickly."""
        rates, span = self.loop.rates, stretch.end - stretch.start
        quick = max(float(np.abs(rates).max()), self.across_rate if self.path.sharers else 0.0)
        swing = max(float(self.feed.orders.max()), min(float(np.abs(rates.imag).max()), 2000.0))
        edges = set(np.linspace(0, span, ceil(span * swing / 6) + 2).tolist())
        edges |= {4.0**k / quick for k in range(12) if 4.0**k / quick < span}
        cuts = stretch.start + np.array(sorted(edges))
        t, w = gauss(PANEL)
        widths = np.diff(cuts)
        return (cuts[:-1, None] + widths[:, None] * t).ravel(), (widths[:, None] * w).ravel()
