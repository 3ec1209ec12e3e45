"""Ways of the current through a bridge of two diodes for each of two or three terminals.

Terminals of a star stand for any winding: e_k behind R and X = ω L, joined at a free neutral; one winding is two, with
half of it each. While the terminals of a path conduct, all of one sign s by the upper diodes, the others by the lower,

    X i_k' = (e − mean e)_k − R i_k − (s − mean s)_k W/2,      W = threshold + ohms · J + v,

means over the path's terminals, J the current of the rails. Two terminals make one loop of 2 R and 2 X, driven by the
difference of their EMFs. Three make a loop of 1.5 R and 1.5 X, the single one g against the mean of the other two, and,
apart from it, a current k that those two pass to each other through R and X: their share is J/2 ± k.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np

from geometry.curves.curve import Real


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
        """Weights (N,) of the EMFs that give the free terminal's volts above the middle of the rails."""
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
