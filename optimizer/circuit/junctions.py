"""Two or three terminals behind a bridge whose diodes follow Shockley's law: equations of the periodic steady state.

Each terminal k of a star feeds the rails through an arm R, X = ω L and two equal diodes, I = Is (exp(V/a) − 1) with
a = n Vt; their series resistance is counted in R. With φ the terminal's volts above the middle of the rails and v the
volts between these, a terminal's current and that of the rails are, leakage included,

    i = 2 Is exp(−v/2a) sinh(φ/a),      J = Is exp(−v/2a) Σ cosh(φ/a) − (number of terminals) Is.

The unknowns are ξ = R i + φ, in which i rises without a kink from next to nothing to ξ/R, and v:

    X i_k' = (e − mean e)_k − (ξ − mean ξ)_k,      Σ i = 0,      T v' = ohms J − (v − sink).

i follows from ξ by the Wright omega function (Corless and Jeffrey, in AISC 2002, LNCS 2385, 76-89; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import expm1, log, log1p

import numpy as np
from scipy.special import wrightomega

from geometry.curves.curve import Real

BIAS = 0.505  # weight of a step's end; a half is the trapezoid rule, a little more calms what is stiff
TRACE = 1e-12  # of an arm's conductance
SHARPEST = 600.0  # exponents are never taken for more


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
        """At ξ (M, N) and v (M,)."""
        a, ohms, sign = self.slope, self.resistance, np.sign(state)
        z = np.abs(state) / a
        shift = log(ohms * self.saturation / a) - volts[:, None] / (2 * a)
        y = np.maximum(z - wrightomega(z + shift).real, 0.0)
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
