"""Cubic splines on an even grid, without a third library: one command that prints figures must start at once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Self

import numpy as np

from geometry.curves.curve import Real


@dataclass(frozen=True, slots=True)
class EvenSpline:
    """A cubic spline whose third derivative is steady at the knots beside its ends ("not a knot").

    start, step: first knot, and from one to the next, in any unit. coefficients: (4, …, M − 1) of the powers of the
    share of a step behind each knot, lowest first, in the values' unit.
    """

    start: float
    step: float
    coefficients: Real

    @classmethod
    def through(cls, start: float, step: float, values: Real) -> Self:
        """Through values (…, M), any unit, at M ≥ 4 knots."""
        rise = np.diff(values)
        first, last = (5 * rise[..., :1] + rise[..., 1:2]) / 2, (rise[..., -2:-1] + 5 * rise[..., -1:]) / 2
        sums = np.concatenate([first, 3 * (rise[..., :-1] + rise[..., 1:]), last], axis=-1)
        slopes = sums @ _slopes_of_sums(values.shape[-1])
        low, high = slopes[..., :-1], slopes[..., 1:]
        return cls(start, step, np.stack([values[..., :-1], low, 3 * rise - 2 * low - high, low + high - 2 * rise]))

    def __call__(self, x: Real) -> Real:
        """At `x` (any shape), in the knots' unit: (…) + x.shape, in the values' unit; beyond the ends as near them."""
        position = (x - self.start) / self.step
        below = np.clip(position.astype(np.intp), 0, self.coefficients.shape[-1] - 1)
        share = position - below
        total = np.take(self.coefficients[3], below, axis=-1)
        for degree in (2, 1, 0):
            total *= share
            total += np.take(self.coefficients[degree], below, axis=-1)
        return total


@cache
def _slopes_of_sums(count: int) -> Real:
    """What makes slopes, a step, at `count` knots of the right sides of their equations, (count, count)."""
    matrix = 4 * np.eye(count) + np.eye(count, k=1) + np.eye(count, k=-1)
    matrix[0, :2] = matrix[-1, :-3:-1] = (1, 2)
    return np.asarray(np.linalg.inv(matrix).T, np.float64)
