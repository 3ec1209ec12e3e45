"""Three terminals behind a bridge of six diodes: exact piecewise solution and its periodic steady state.

Between the instants at which a diode begins or ceases to conduct, the current J of the rails (with the volts v of a
capacitor, where there is one) moves as that of a bridge with one winding, and what two terminals of one rail pass to
each other fades by itself: `three_paths`. The EMFs have odd orders only, so all repeats, turned over, after half a
period; where the three are alike and a third of a period apart, after a sixth, the terminals changing places.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.three_circuit import Circuit, Feed, ThreePhaseInterval
from optimizer.circuit.three_paths import PATHS, TERMINALS, DiodePath
from optimizer.numerics.roots import root_between

EXACT = 1e-9  # of the steady state, relative
MOST_STRETCHES = 400  # in one span; a circuit never changes its path so often
NEWTON, PATIENCE = 12, 20_000  # steps of each kind toward the steady state


@dataclass(frozen=True, slots=True)
class State:
    """Signed currents of the terminals (3,) and volts of the capacitor."""

    currents: Real
    volts: float


@dataclass(frozen=True, kw_only=True, eq=False)
class ThreeBridge(Feed):
    """One circuit as it runs through its paths."""

    @property
    def has_capacitor(self) -> bool:
        """Whether v is a state of its own."""
        return self.susceptance > 0

    def with_threshold(self, threshold: float) -> ThreeBridge:
        """The same circuit with another barrier."""
        other = replace(self, threshold=threshold)
        other.__dict__.update(turn=self.turn, grid=self.grid, emf_on_grid=self.emf_on_grid)
        return other

    @cached_property
    def circuits(self) -> dict[tuple[int, int, int], Circuit]:
        """What each path makes, as far as it was asked for."""
        return {}

    def circuit(self, path: DiodePath) -> Circuit:
        """What a path makes."""
        if path.signs not in self.circuits:
            self.circuits[path.signs] = Circuit(self, path)
        return self.circuits[path.signs]

    def idle_volts(self, stretch: ThreePhaseInterval, angle: float | Real) -> Real:
        """Volts of the capacitor while nothing flows; zero without one."""
        if not self.has_capacitor:
            return np.zeros_like(angle)
        return stretch.volts * np.exp(
            -self.conductance / self.susceptance * (np.asarray(angle) - stretch.start)
        )

    def at_end(self, stretch: ThreePhaseInterval) -> State:
        """Currents and volts at the end of a stretch."""
        if stretch.path is None:
            return State(np.zeros(3), float(self.idle_volts(stretch, stretch.end)))
        total, across, volts = self.circuit(stretch.path).at(stretch, np.array(stretch.end))
        return State(stretch.path.currents(total, across), float(volts))

    def over_span(self, state: State) -> list[ThreePhaseInterval]:
        """All stretches from x = 0 to the span's end."""
        stretches: list[ThreePhaseInterval] = []
        here, path = 0.0, PATHS.get(_signs(state.currents))
        while here < self.span:
            if len(stretches) > MOST_STRETCHES:
                raise ArithmeticError("a bridge of six diodes changes its way without end")
            stretch, path_after = self._next(path, here, state)
            stretches.append(stretch)
            here, path = stretch.end, path_after
            state = _carried(self.at_end(stretch), path)
        return stretches

    def _next(self, path: DiodePath | None, here: float, state: State) -> tuple[ThreePhaseInterval, DiodePath | None]:
        if path is None:
            return self._idle(here, state.volts)
        total, across = path.state(state.currents)
        return self.circuit(path).until_change(ThreePhaseInterval(path, here, self.span, total, across, state.volts))

    def _idle(self, here: float, volts: float) -> tuple[ThreePhaseInterval, DiodePath | None]:
        """Until two EMFs differ by more than barrier and capacitor hold."""
        whole = ThreePhaseInterval(None, here, self.span, 0.0, 0.0, volts)

        def excess(angle: float) -> float:
            return float(np.ptp(self.emf(angle)) - self.threshold - self.idle_volts(whole, angle))

        first = int(np.searchsorted(self.grid, here, side="right"))
        ahead = self.grid[first:]
        over = np.ptp(self.emf_on_grid[first:], axis=1) - self.threshold - self.idle_volts(whole, ahead)
        beaten = np.flatnonzero(over > 0)
        if not beaten.size:
            return whole, None
        high = float(ahead[beaten[0]])
        low = float(ahead[beaten[0] - 1]) if beaten[0] else here
        at = max(root_between(excess, low, high, 1e-13) if excess(low) < 0 else low, here)
        emf = self.emf(at)
        signs = [0, 0, 0]
        signs[int(emf.argmax())], signs[int(emf.argmin())] = 1, -1
        return replace(whole, end=at), PATHS[signs[0], signs[1], signs[2]]

    def after(self, state: State) -> State:
        """The state after a span, turned over and with the terminals in their first places."""
        found = self.at_end(self.over_span(state)[-1])
        return State(self._replaced(-found.currents), found.volts)

    def _replaced(self, currents: Real) -> Real:
        """Currents (…, 3) of the span after, under the names of this one."""
        if not self.turn:
            return currents
        back = np.empty_like(currents)
        for terminal in TERMINALS:
            back[..., self.turn[terminal]] = currents[..., terminal]
        return back

    def steady(self, guess: float = 0.0) -> list[ThreePhaseInterval]:
        """The stretches over a span of the steady state; `guess`: the capacitor's volts, near enough."""
        state = State(np.zeros(3), guess if self.has_capacitor else 0.0)
        for _ in range(NEWTON):
            after = self.after(state)
            if self._settled(state, after):
                return self.over_span(after)
            state = self._newton(state, after)
        for _ in range(PATIENCE):  # passive: two solutions never move apart
            state, before = self.after(state), state
            if self._settled(before, state):
                break
        return self.over_span(state)

    @cached_property
    def _scale(self) -> tuple[float, float]:
        """Scales for currents and volts."""
        volts = float(np.ptp(self.emf_on_grid, axis=1).max()) + 1e-30
        return volts / (self.resistance + self.reactance), volts

    def _settled(self, state: State, after: State) -> bool:
        amps, volts = self._scale
        lost = min(self.span * self.conductance / self.susceptance, 1.0) if self.has_capacitor else 1.0
        near = bool((np.abs(after.currents - state.currents) < EXACT * amps).all())
        return near and abs(after.volts - state.volts) < max(EXACT * lost, 1e-14) * volts

    def _newton(self, state: State, after: State) -> State:
        """Newton's step in the currents of two terminals that are on, and in the volts."""
        on = np.flatnonzero((state.currents != 0) | (after.currents != 0))[:-1].tolist()
        axes = [*on, *([3] if self.has_capacitor else [])]
        if not axes:
            return after
        amps, volts = self._scale
        last = int(np.flatnonzero((state.currents != 0) | (after.currents != 0))[-1]) if on else 0
        base, jacobian = _vector(after, axes) - _vector(state, axes), np.empty((len(axes), len(axes)))
        for column, axis in enumerate(axes):
            step = 1e-6 * (volts if axis == 3 else amps)
            moved = _moved(state, last, {axis: step})
            found = _vector(self.after(moved), axes) - _vector(moved, axes)
            jacobian[:, column] = (found - base) / step
        change = np.linalg.solve(jacobian, -base)
        return _moved(state, last, dict(zip(axes, change.tolist(), strict=True)))

    def means(self, stretches: Sequence[ThreePhaseInterval], product: Callable[[Real, Real, Real], Real]) -> float:
        """Mean over the period of product(J, v, k) while a current flows, by Gauss's rule."""
        total = 0.0
        for stretch in stretches:
            if stretch.path is not None:
                nodes, weights = self.circuit(stretch.path).panels(stretch)
                total += float(product(*self._with_volts(stretch, nodes)) @ weights)
        return total / self.span

    def _with_volts(self, stretch: ThreePhaseInterval, nodes: Real) -> tuple[Real, Real, Real]:
        assert stretch.path is not None
        total, across, volts = self.circuit(stretch.path).at(stretch, nodes)
        return total, volts, across

    def mean_square_current(self, stretches: Sequence[ThreePhaseInterval]) -> float:
        """Mean over the period of the sum of the squares of the terminals' currents, A²."""
        pairs = [s for s in stretches if s.path is not None and not s.path.parted]
        threes = [s for s in stretches if s.path is not None and s.path.parted]
        return self.means(pairs, lambda j, v, k: 2 * j * j) + self.means(
            threes, lambda j, v, k: 1.5 * j * j + 2 * k * k
        )

    def mean_square_volts(self, stretches: Sequence[ThreePhaseInterval]) -> tuple[float, float]:
        """Means of v and v² over the period."""
        mean = self.means(stretches, lambda j, v, k: v)
        square = self.means(stretches, lambda j, v, k: v * v)
        for stretch in stretches:
            if stretch.path is None and self.has_capacitor:
                rate, span = self.conductance / self.susceptance, stretch.end - stretch.start
                mean += stretch.volts * -np.expm1(-rate * span) / rate / self.span
                square += stretch.volts**2 * -np.expm1(-2 * rate * span) / (2 * rate) / self.span
        return float(mean), float(square)

    def sampled(self, stretches: Sequence[ThreePhaseInterval], angles: Real) -> tuple[Real, Real, Real]:
        """Currents (M, 3), J and v (M,) at angles (M,) of a whole period."""
        turns = np.floor(angles / self.span + 1e-12).astype(int)
        within = np.clip(angles - turns * self.span, 0.0, self.span)
        currents, total, volts = np.zeros((angles.size, 3)), np.zeros(angles.size), np.zeros(angles.size)
        for stretch in stretches:
            here = (within >= stretch.start) & (within <= stretch.end)
            if stretch.path is None:
                volts[here], total[here], currents[here] = self.idle_volts(stretch, within[here]), 0.0, 0.0
                continue
            total[here], across, volts[here] = self.circuit(stretch.path).at(stretch, within[here])
            currents[here] = stretch.path.currents(total[here], across)
        for turn in range(1, int(turns.max()) + 1):  # each span is the one before, turned over
            later = turns >= turn
            currents[later] = -currents[later][:, list(self.turn) or list(TERMINALS)]
        return currents, total, volts


def _signs(currents: Real) -> tuple[int, int, int]:
    first, second, third = (int(sign) for sign in np.sign(currents))
    return first, second, third


def _carried(state: State, path: DiodePath | None) -> State:
    """The state with exactly nothing in terminals that are off, and the rest adding up to nothing."""
    if path is None:
        return State(np.zeros(3), state.volts)
    total, across = path.state(state.currents)
    return State(path.currents(np.array(total), np.array(across)), state.volts)


def _vector(state: State, axes: Sequence[int]) -> Real:
    return np.array([*state.currents, state.volts])[list(axes)]


def _moved(state: State, last: int, changes: dict[int, float]) -> State:
    """The state with currents (0 to 2) and volts (3) changed; terminal `last` keeps the sum of currents zero."""
    currents, volts = state.currents.copy(), state.volts
    for axis, change in changes.items():
        if axis == 3:
            volts = max(volts + change, 0.0)
        else:
            currents[axis] += change
            currents[last] -= change
    return State(currents, volts)
