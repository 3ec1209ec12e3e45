"""Two or three terminals behind a bridge: exact piecewise solution and its periodic steady state.

Between the instants at which a diode begins or ceases to conduct, the current J of the rails (with the volts v of a
capacitor, where there is one) is that of a linear circuit, solved in closed form: harmonics of the EMFs plus
exponentials; what two terminals of one rail pass to each other fades by itself: `conduction`. The EMFs have odd orders
only, so all repeats, turned over, after half a period; where three are alike and a third of a period apart, after a
sixth, the terminals changing places. Diodes, resistors, inductors and capacitors are passive: two solutions never move
apart in stored energy, so the map over a span has one steady state (but for pathologies).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.conduction import PATHS, ConductingCircuit, ConductionInterval, DiodePath, Feed
from optimizer.numerics.roots import root_between

EXACT = 1e-9  # of the steady state, relative
MAX_STRETCHES = 400  # in one span; a circuit never changes its path so often
NEWTON, PATIENCE = 15, 20_000  # steps of each kind toward the steady state


class RailMeans(NamedTuple):
    """Means over the period: of J, A; of J² and of the terminals' i² together, A²; of the capacitor's v, V, and v²."""

    current: float
    current_square: float
    terminals_square: float
    volts: float
    volts_square: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Bridge(Feed):
    """One circuit as it runs through its paths. States (N + 1,): signed currents of the terminals, A, and v."""

    def with_threshold(self, threshold: float) -> Bridge:
        """The same circuit with another threshold, V; what does not depend on it is not computed again."""
        other = replace(self, threshold=threshold)
        shared = ("turn", "grid", "waves_on_grid", "apart_on_grid")
        other.__dict__.update({name: getattr(self, name) for name in shared})
        return other

    @cached_property
    def _circuits(self) -> dict[tuple[int, ...], ConductingCircuit]:
        return {}

    def circuit(self, path: DiodePath) -> ConductingCircuit:
        """What a path makes."""
        if path.signs not in self._circuits:
            self._circuits[path.signs] = ConductingCircuit(self, path)
        return self._circuits[path.signs]

    def idle_volts(self, stretch: ConductionInterval, angle: float | Real) -> Real:
        """V of the capacitor while nothing flows, in the shape of `angle` (rad); zero without one."""
        rate = self.conductance / self.susceptance if self.susceptance else 0.0
        return stretch.volts * np.exp(-rate * (angle - stretch.start))

    def _at_end(self, stretch: ConductionInterval) -> Real:
        """The state at the end of a stretch."""
        if stretch.path is None:
            return np.append(np.zeros(len(self.amplitudes)), self.idle_volts(stretch, stretch.end))
        total, across, volts = self.circuit(stretch.path).at(stretch, np.array(stretch.end))
        return np.append(stretch.path.currents(total, across), volts)

    def over_span(self, state: Real) -> list[ConductionInterval]:
        """All stretches from x = 0 to the span's end, beginning with a state (N + 1,), A and V."""
        stretches: list[ConductionInterval] = []
        here, path = 0.0, PATHS.get(tuple(np.sign(state[:-1]).astype(int).tolist()))
        while here < self.span:
            if len(stretches) > MAX_STRETCHES:
                raise ArithmeticError("a bridge changes its way without end")
            if path is None:
                stretch, path = self._idle(here, float(state[-1]))
            else:
                whole = ConductionInterval(path, here, self.span, *path.state(state[:-1]), float(state[-1]))
                stretch, path = self.circuit(path).until_change(whole)
            stretches.append(stretch)
            here, state = stretch.end, self._at_end(stretch)
        return stretches

    def _idle(self, here: float, volts: float) -> tuple[ConductionInterval, DiodePath | None]:
        """Until two EMFs differ by more than threshold and capacitor hold."""
        whole = ConductionInterval(None, here, self.span, 0.0, 0.0, volts)

        def excess(angle: float) -> float:
            emf = self.emf(angle)
            return float(emf.max() - emf.min() - self.threshold - self.idle_volts(whole, angle))

        first = int(np.searchsorted(self.grid, here, side="right"))
        ahead = self.grid[first:]
        beaten = np.flatnonzero(self.apart_on_grid[first:] - self.threshold > self.idle_volts(whole, ahead))
        if not beaten.size:
            return whole, None
        high = float(ahead[beaten[0]])
        low = float(ahead[beaten[0] - 1]) if beaten[0] else here
        at = max(root_between(excess, low, high, 1e-13) if excess(low) < 0 else low, here)
        emf = self.emf(high)
        signs = [0] * emf.size
        signs[int(emf.argmax())], signs[int(emf.argmin())] = 1, -1
        return replace(whole, end=at), PATHS[tuple(signs)]

    def after(self, state: Real) -> Real:
        """The state (N + 1,), A and V, after a span, turned over and with the terminals in their first places."""
        end = self._at_end(self.over_span(state)[-1])
        end[list(self.turn)] = -end[:-1]
        return end

    def steady(self, guess: float = 0.0) -> list[ConductionInterval]:
        """The stretches over a span of the steady state; `guess`: the capacitor's voltage in V, near enough."""
        state = np.append(np.zeros(len(self.amplitudes)), guess if self.susceptance else 0.0)
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
    def _scale(self) -> Real:
        """Scales of a state, A and V."""
        volts = float(self.apart_on_grid.max()) + 1e-30
        amps = volts / (self.resistance + self.reactance)
        return np.array([amps] * len(self.amplitudes) + [volts])

    def _settled(self, state: Real, after: Real) -> bool:
        near = np.full(state.size, EXACT)
        if self.susceptance:
            near[-1] = max(EXACT * min(self.span * self.conductance / self.susceptance, 1.0), 1e-14)
        return bool((np.abs(after - state) < near * self._scale).all())

    def _newton(self, state: Real, after: Real) -> Real:
        """Newton's step in the volts and in the currents that are on, but for the last, which keeps their sum zero."""
        on = np.flatnonzero((state[:-1] != 0) | (after[:-1] != 0))
        axes = [*on[:-1].tolist(), *([state.size - 1] if self.susceptance else [])]
        if not axes:
            return after
        ways = np.eye(state.size)[axes]
        ways[: on.size - 1 if on.size else 0, on[-1:]] = -1.0
        missed, jacobian = after - state, np.empty((len(axes), len(axes)))
        for column, axis in enumerate(axes):
            step = 1e-6 * self._scale[axis]
            moved = state + step * ways[column]
            jacobian[:, column] = (self.after(moved) - moved - missed)[axes] / step
        improved = state - np.linalg.solve(jacobian, missed[axes]) @ ways
        improved[-1] = max(improved[-1], 0.0)
        return improved

    def means(self, stretches: Sequence[ConductionInterval]) -> RailMeans:
        """Means over the period, by Gauss's rule while a current flows."""
        sums = np.zeros(5)
        for stretch in stretches:
            if stretch.path is not None:
                circuit = self.circuit(stretch.path)
                nodes, weights = circuit.panels(stretch)
                total, across, volts = circuit.at(stretch, nodes)
                squares = (stretch.path.currents(total, across) ** 2).sum(axis=-1)
                sums += np.stack([total, total * total, squares, volts, volts * volts]) @ weights
            elif self.susceptance:
                rate, span = self.conductance / self.susceptance, stretch.end - stretch.start
                sums[3] += stretch.volts * -np.expm1(-rate * span) / rate
                sums[4] += stretch.volts**2 * -np.expm1(-2 * rate * span) / (2 * rate)
        return RailMeans(*(sums / self.span).tolist())

    def sampled(self, stretches: Sequence[ConductionInterval], angles: Real) -> tuple[Real, Real, Real]:
        """Currents (M, N), J (M,), A, and v (M,), V, at angles (M,), rad, of a whole period."""
        turns = np.floor(angles / self.span + 1e-12).astype(int)
        within = np.clip(angles - turns * self.span, 0.0, self.span)
        currents, total, volts = np.zeros((angles.size, len(self.amplitudes))), *np.zeros((2, angles.size))
        for stretch in stretches:
            here = (within >= stretch.start) & (within <= stretch.end)
            if stretch.path is None:
                volts[here], total[here], currents[here] = self.idle_volts(stretch, within[here]), 0.0, 0.0
                continue
            total[here], across, volts[here] = self.circuit(stretch.path).at(stretch, within[here])
            currents[here] = stretch.path.currents(total[here], across)
        for turn in range(1, int(turns.max()) + 1):  # each span is the one before, turned over
            later = turns >= turn
            currents[later] = -currents[later][:, list(self.turn)]
        return currents, total, volts
