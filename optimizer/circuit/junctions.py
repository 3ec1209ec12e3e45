"""Two or three terminals behind a bridge whose diodes follow Shockley's law, and what flows through them.

Each terminal k of a star feeds the rails through an arm R, X = ω L and two equal diodes, I = Is (exp(V/a) − 1) with
a = n Vt; their series resistance is counted in R. With φ the terminal's volts above the middle of the rails and v the
volts between these, a terminal's current and that of the rails are, leakage included,

    i = 2 Is exp(−v/2a) sinh(φ/a),      J = Is exp(−v/2a) Σ cosh(φ/a) − (number of terminals) Is.

The unknowns are ξ = R i + φ, in which i rises without a kink from next to nothing to ξ/R, and v:

    X i_k' = (e − mean e)_k − (ξ − mean ξ)_k,      Σ i = 0,      T v' = ohms J − (v − sink).

i follows from ξ by the Wright omega function (Corless and Jeffrey, in AISC 2002, LNCS 2385, 76-89; from memory).

The steady state is that of all points of half a period at once, by Newton's method. A coarse grid with a wide knee
comes first, then finer ones with sharper knees, each started from the one before. After half a period all currents are
turned over and the volts are the same, which closes the chain of steps.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import expm1, log, log1p, pi

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.diodes import Diode
from optimizer.circuit.load_point import LARGEST_CAPACITOR, Flow, Smoothing, Waves, period
from optimizer.circuit.thevenin import TheveninSource
from optimizer.numerics.wright_omega import wright_omega

BIAS = 0.505  # weight of a step's end; a half is the trapezoid rule, a little more calms what is stiff
TRACE = 1e-12  # of an arm's conductance
SHARPEST = 600.0  # exponents are never taken for more
COARSEST, FINEST = 32, 128  # steps over half a period, powers of two; twice as many where the inductance rules
EASY = 0.2  # reactance over resistance, below which the finest grid is solved at once
MAX_STEPS, MIN_PART = 60, 0.1  # of Newton's method, and the least share of a step that is tried
ROUGH, NEAR, EXACT = 1e-3, 1e-5, 1e-8  # how near a coarse grid, one of many and the finest are solved, relative
FLOWS = 0.01  # share of the highest current from which the bridge is said to conduct


@dataclass(frozen=True, slots=True, kw_only=True)
class Knee:
    """Currents of terminals (M, N) and of the rails (M,), A, at ξ and v; their slopes by ξ and v; potential φ, V."""

    current: Real
    by_state: Real
    by_volts: Real
    rail: Real
    rail_by_state: Real
    rail_by_volts: Real
    potential: Real


@dataclass(frozen=True, kw_only=True, eq=False)
class Junctions:
    """A bridge. saturation: Is, A; slope: a, V; resistance, reactance: of an arm, Ω; of the load ohms, sink (V) and
    time, rad (zero: no capacitor)."""

    saturation: float
    slope: float
    resistance: float
    reactance: float
    ohms: float
    sink: float
    time: float

    def softened(self, times: float, amps: float) -> Junctions:
        """The same bridge with a knee so many times wider, its drop at `amps` kept."""
        drop, slope = self.slope * log1p(amps / self.saturation), self.slope * times
        return replace(self, slope=slope, saturation=amps / expm1(min(drop / slope, SHARPEST)))

    def knee(self, state: Real, volts: Real) -> Knee:
        """At ξ (M, N) and v (M,), both in V."""
        a, ohms, sign = self.slope, self.resistance, np.sign(state)
        z = np.abs(state) / a
        shift = log(ohms * self.saturation / a) - volts[:, None] / (2 * a)
        y = np.maximum(z - wright_omega(z + shift), 0.0)
        for _ in range(3):  # the part of the other diode, where it is felt
            up, down = np.exp(shift + y), np.exp(shift - y)
            y = y - (y + up - down - z) / (1 + up + down)
        up, down = np.exp(shift + y), np.exp(shift - y)
        odd, even = up - down, up + down
        by_volts = sign * odd / (1 + even) / (2 * ohms)
        return Knee(
            current=sign * odd * a / ohms,
            by_state=even / (1 + even) / ohms,
            by_volts=-by_volts,
            rail=np.sum(even * a / (2 * ohms) - self.saturation, axis=1),
            rail_by_state=by_volts,
            rail_by_volts=np.sum(odd * odd / (1 + even) - even, axis=1) / (4 * ohms),
            potential=sign * a * y,
        )

    def equations(self, angle: Real, emf: Real, unknown: Real) -> tuple[Real, Real, Real]:
        """What each step misses, (N, n + 1), and its slopes by the unknowns ξ, v at its end and its start.

        angle: (N + 1,), rad; emf: (N + 1, n), V, their mean taken off; unknown: (N + 1, n + 1).
        """
        n, last = int(emf.shape[1]), -1
        knee, step = self.knee(unknown[:, :last], unknown[:, last]), np.diff(angle)[:, None]
        apart, bias = np.eye(n) - 1 / n, BIAS if self.time > 0 else 1.0
        x, t = self.reactance / step, self.time / step
        scale, hold = 1 + x / self.resistance, 1 + t
        pull = emf - unknown[:, :last] @ apart
        rise = self.ohms * knee.rail - (unknown[:, last] - self.sink)
        missed = np.empty((len(step), n + 1))
        driven = BIAS * pull[1:] + (1 - BIAS) * pull[:-1]
        missed[:, :last] = (x * np.diff(knee.current, axis=0) - driven) / scale
        # what hardly conducts has hardly a say: a trace of ξ holds the middle where nothing does
        missed[:, n - 1] = np.sum(self.resistance * knee.current[1:] + TRACE * unknown[1:, :last], axis=1)
        filled = bias * rise[1:] + (1 - bias) * rise[:-1]
        missed[:, last] = (t[:, 0] * np.diff(unknown[:, last]) - filled) / hold[:, 0]
        slopes = [np.zeros((len(step), n + 1, n + 1)) for _ in range(2)]
        rows = np.arange(n)
        for slope, at, way, part, share in (
            (slopes[0], slice(1, None), 1.0, BIAS, bias), (slopes[1], slice(None, -1), -1.0, 1 - BIAS, 1 - bias)
        ):  # fmt: skip
            slope[:, rows, rows] = way * x * knee.by_state[at]
            slope[:, rows, last] = way * x * knee.by_volts[at]
            slope[:, :last, :last] += part * apart
            slope[:, :last] /= scale[..., None]
            slope[:, last, :last] = -share * self.ohms * knee.rail_by_state[at]
            slope[:, last, last] = way * t[:, 0] + share * (1 - self.ohms * knee.rail_by_volts[at])
            slope[:, last] /= hold
        slopes[1][:, n - 1] = 0.0
        slopes[0][:, n - 1, :last] = self.resistance * knee.by_state[1:] + TRACE
        slopes[0][:, n - 1, last] = self.resistance * knee.by_volts[1:].sum(axis=1)
        return missed, slopes[0], slopes[1]


@dataclass(frozen=True, slots=True, eq=False)
class Half:
    """Half a period: angles (M,), rad, EMFs (M, N), V, currents, volts, and the unknowns (M, N + 1) behind them."""

    angle: Real
    emf: Real
    knee: Knee
    volts: Real
    unknown: Real

    def mean(self, values: Real) -> float:
        """Mean of values (M,) over the half period, in their unit."""
        return float(np.trapezoid(values, self.angle) / pi)


def steady_half(
    bridge: Junctions, emf: Callable[[Real], Real], guess: Callable[[Real], Real], start: Half | None = None
) -> Half:
    """The steady state. emf: V (M, N) at rad (M,); guess: V (M,) of the load for EMFs; start: one much alike."""
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


def junction_flow(
    source: TheveninSource, speed: float, diode: Diode,
    *, sink: float = 0.0, ohms: float = 0.0, capacitor: Smoothing | None = None,
) -> Flow:  # fmt: skip
    """Into a sink (V) with `ohms` in series, or a capacitor with its resistance; speed in rad/s, above zero."""
    bridge = _bridge(source, speed, diode, sink, ohms, capacitor)
    half = steady_half(bridge, lambda angle: _emf(source, speed, angle), _guess(bridge, sink))
    knee, mean = half.knee, half.mean
    terminals = mean(np.sum(knee.current**2, axis=1))
    rail_watts = mean(half.volts * knee.rail)
    given = mean(np.sum(knee.potential * knee.current, axis=1)) + terminals * diode.ohms
    return Flow(
        mean_current=mean(knee.rail),
        mean_square_current=mean(knee.rail**2),
        copper_square=source.winding_square(speed, terminals),
        volts=mean(half.volts),
        volts_square=mean(half.volts**2),
        conduction_ratio=mean(np.asarray(knee.rail > FLOWS * knee.rail.max(), np.float64)),
        waves=_waves(source, speed, diode, half),
        diode_watts=max(given - rail_watts, 0.0),
    )


def junction_charger(
    source: TheveninSource, speed: float, diode: Diode, ohms: float
) -> Callable[[float], float]:
    """Mean current in A into a sink of `ohms`, against its volts; each search starts from the one before."""
    last: list[Half] = []

    def charge(volts: float) -> float:
        bridge = _bridge(source, speed, diode, volts, ohms, None)
        start = last.pop() if last else None
        last.append(
            steady_half(bridge, lambda angle: _emf(source, speed, angle), _guess(bridge, volts), start)
        )
        return last[0].mean(last[0].knee.rail)

    return charge


def _bridge(
    source: TheveninSource, speed: float, diode: Diode, sink: float, ohms: float, capacitor: Smoothing | None
) -> Junctions:
    radians, arm = source.pole_pairs * speed, source.arm
    time = min(radians * capacitor.farads * capacitor.ohms, LARGEST_CAPACITOR) if capacitor else 0.0
    return Junctions(
        saturation=diode.saturation,
        slope=diode.slope,
        resistance=arm[0] + diode.ohms,
        reactance=radians * arm[1],
        ohms=capacitor.ohms if capacitor else ohms,
        sink=sink,
        time=time,
    )


def _emf(source: TheveninSource, speed: float, angle: Real) -> Real:
    """V of the arms at electrical angles (M,), (M, N)."""
    waves = np.exp(1j * np.multiply.outer(angle, source.orders)) @ source.star_constants.T
    return np.asarray(waves.imag * speed, np.float64)


def _guess(bridge: Junctions, sink: float) -> Callable[[Real], Real]:
    def volts(waves: Real) -> Real:
        share = bridge.ohms / (bridge.ohms + 2 * bridge.resistance)
        between: Real = np.ptp(waves, axis=1)
        if sink > 0:
            return np.full(between.shape, sink)
        return np.full(between.shape, 0.8 * share * float(between.max())) if bridge.time > 0 else share * between

    return volts


def _waves(source: TheveninSource, speed: float, diode: Diode, half: Half) -> Waves:
    """Over a whole period, on the angles that all waves have."""
    angle = period()
    within = angle[: angle.size // 2 + 1]

    def whole(values: Real, sign: float) -> Real:
        first = np.interp(within, half.angle, values)
        return np.concatenate((first, sign * first[1:]))

    knee = half.knee
    potential = knee.potential + diode.ohms * knee.current
    return Waves(
        angle=angle,
        emf=source.emf(angle / source.pole_pairs, speed),
        current=whole(knee.current[:, 0], -1.0),
        terminal_volts=whole(potential[:, 0] - potential[:, 1], -1.0),
        load_volts=whole(half.volts, 1.0),
    )
