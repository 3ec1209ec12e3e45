"""The periodic steady state of a bridge of junctions: all points of half a period at once, by Newton's method.

A coarse grid with a wide knee comes first, then finer ones with sharper knees, each started from the one before. After
half a period all currents are turned over and the volts are the same, which closes the chain of steps.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import pi

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.junctions import Junctions, Knee

COARSEST, FINEST = 32, 128  # steps over half a period, powers of two; twice as many where the inductance rules
EASY = 0.2  # reactance over resistance, below which the finest grid is solved at once
MAX_STEPS, MIN_PART = 60, 0.1  # of Newton's method, and the least share of a step that is tried
ROUGH, NEAR, EXACT = 1e-3, 1e-5, 1e-8  # how near a coarse grid, one of many and the finest are solved, relative


@dataclass(frozen=True, slots=True, eq=False)
class Half:
    """Half a period: angles (M,), EMFs (M, N), currents and volts there, and the unknowns (M, N + 1) that gave them."""

    angle: Real
    emf: Real
    knee: Knee
    volts: Real
    unknown: Real

    def mean(self, values: Real) -> float:
        """Of values (M,) over the half period."""
        return float(np.trapezoid(values, self.angle) / pi)


def steady_half(
    bridge: Junctions, emf: Callable[[Real], Real], guess: Callable[[Real], Real], start: Half | None = None
) -> Half:
    """The steady state. emf: (M, N) at angles (M,); guess: volts (M,) of the load for EMFs; start: one much alike."""
    if start is not None:
        unknown = _solved(bridge, start.angle, start.emf, start.unknown, NEAR)
        return _half(bridge, start.angle, start.emf, unknown)
    easy = bridge.time == 0 and bridge.reactance < EASY * bridge.resistance
    angle = np.linspace(0, pi, (FINEST if easy else COARSEST) + 1)
    waves = _apart(emf(angle))
    unknown = np.column_stack((waves, guess(waves)))
    amps = float(np.ptp(waves, axis=1).max()) / (4 * bridge.resistance + 2 * bridge.ohms)
    finest = FINEST if bridge.reactance < bridge.resistance else 2 * FINEST
    while angle.size <= finest:  # none of it where the inductance is hardly felt
        rough = bridge.softened(finest / (angle.size - 1), amps)
        unknown = _solved(rough, angle, waves, unknown, ROUGH)
        finer = np.linspace(0, pi, 2 * angle.size - 1)
        columns: list[Real] = [*unknown.T]
        unknown = np.column_stack([np.interp(finer, angle, column) for column in columns])
        angle, waves = finer, _apart(emf(finer))
    return _half(bridge, angle, waves, _solved(bridge, angle, waves, unknown, EXACT))


def _half(bridge: Junctions, angle: Real, waves: Real, unknown: Real) -> Half:
    return Half(angle, waves, bridge.knee(unknown[:, :-1], unknown[:, -1]), unknown[:, -1], unknown)


def _apart(waves: Real) -> Real:
    return np.asarray(waves - waves.mean(axis=1, keepdims=True), np.float64)


def _solved(bridge: Junctions, angle: Real, waves: Real, unknown: Real, near: float) -> Real:
    """The unknowns at which no step misses anything, by Newton's method with shortened steps where they help."""
    size = float(np.abs(waves).max()) + bridge.sink + 1e-12
    highest = 6 * size
    missed, end, before = bridge.equations(angle, waves, unknown)
    for _ in range(MAX_STEPS):
        change, part, minimum = _chained(end, before, -missed), 1.0, np.linalg.norm(missed)
        while True:
            tried = unknown + part * change
            tried[:, -1] = np.clip(tried[:, -1], 0.0, highest)
            missed, end, before = bridge.equations(angle, waves, tried)
            if np.linalg.norm(missed) < minimum * (1 - part / 4) or part < MIN_PART:
                break
            part /= 2
        unknown = tried
        if part * np.abs(change).max() < near * size:
            break
    return unknown


def _solution(left: Real, right: Real) -> Real:
    return np.asarray(np.linalg.solve(left, right), np.float64)


def _chained(end: Real, before: Real, right: Real) -> Real:
    """y (N + 1, m) with end_j y_j + before_j y_(j−1) = right_j and y_0 that of N turned over; N a power of two.

    Pairs of steps are joined to one until one step is left, which closes upon itself; then the middles follow.
    """
    both = _solution(end, np.concatenate((-before, right[..., None]), axis=2))
    along, given = both[..., :-1], both[..., -1:]
    levels: list[tuple[Real, Real]] = []
    while len(along) > 1:
        levels.append((along, given))
        along, given = along[1::2] @ along[::2], along[1::2] @ given[::2] + given[1::2]
    turned = np.diag(np.append(-np.ones(right.shape[1] - 1), 1.0))
    last = _solution(np.eye(len(turned)) - along[0] @ turned, given[0])
    chain = np.stack((turned @ last, last))
    for along, given in reversed(levels):
        wider = np.empty((2 * len(chain) - 1, *last.shape))
        wider[::2], wider[1::2] = chain, along[::2] @ chain[:-1] + given[::2]
        chain = wider
    return chain[..., 0]
