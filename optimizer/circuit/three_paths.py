"""Ways of the current through a bridge of six diodes fed by three terminals, and the circuit that each makes.

Terminals a, b, c of a star stand for any winding: e_k behind R and X = ω L, joined at a free neutral. While the
terminals of a path conduct, all of one sign s by the upper diodes and the others by the lower,

    X i_k' = (e − mean e)_k − R i_k − (s − mean s)_k W/2,      W = barrier + ohms · J + v,

means over the path's terminals, J the current of the rails. Two terminals make one loop of 2 R and 2 X, driven by the
difference of their EMFs. Three make a loop of 1.5 R and 1.5 X, the single one g against the mean of the other two, and,
apart from it, a current k that those two pass to each other through R and X: their share is J/2 ± k.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from geometry.curves.curve import Complex, Real

TERMINALS = (0, 1, 2)


@dataclass(frozen=True, slots=True)
class DiodePath:
    """signs: +1 for a terminal that feeds the upper rail, −1 for one that the lower rail feeds, 0 for a free one.

    loop: weights (3,) of the EMFs that drive J; copies: how many times R and X that loop has. across: weights that
    drive k, zero for a path of two terminals.
    """

    signs: tuple[int, int, int]
    loop: Real
    copies: float
    across: Real

    @property
    def parted(self) -> bool:
        """Whether two terminals share a rail."""
        return 0 not in self.signs

    @property
    def single(self) -> int:
        """The terminal that has its rail to itself; of two terminals, the upper one."""
        if not self.parted:
            return self.signs.index(1)
        return self.signs.index(-sum(self.signs))

    @property
    def sharers(self) -> tuple[int, int]:
        """The terminals that share a rail, in order. Raises ValueError for a path of two terminals."""
        first, second = (k for k in TERMINALS if self.parted and k != self.single)
        return first, second

    @property
    def free(self) -> int:
        """The terminal that does not conduct. Raises ValueError for a path of three."""
        return self.signs.index(0)

    def currents(self, total: Real, across: Real) -> Real:
        """Signed currents of the terminals (…, 3) out of J and k, (…,) each."""
        found = np.multiply.outer(total, np.array(self.signs, float))
        if self.parted:
            first, second = self.sharers
            found[..., first] = self.signs[first] * (total / 2 + across)
            found[..., second] = self.signs[second] * (total / 2 - across)
        return found

    def state(self, currents: Real) -> tuple[float, float]:
        """J and k, out of currents (3,) that this path carries."""
        total = float(np.abs(currents).sum() / 2)
        if not self.parted:
            return total, 0.0
        first, second = self.sharers
        return total, float(self.signs[first] * (currents[first] - currents[second]) / 2)

    def with_sign(self, terminal: int, sign: int) -> tuple[int, int, int]:
        """The signs once a terminal begins to conduct as `sign` says, or ceases to (0)."""
        first, second, third = (sign if k == terminal else self.signs[k] for k in TERMINALS)
        return first, second, third

    @property
    def free_potential(self) -> Real:
        """Weights (3,) of the EMFs that give the free terminal's volts above the middle of the rails."""
        return np.array([-0.5 if sign else 1.0 for sign in self.signs])


def _path(signs: tuple[int, int, int]) -> DiodePath:
    s = np.array(signs, float)
    on = np.abs(s)
    direction = (s - on * s.sum() / on.sum()) / 2
    copies = 1 / float(direction @ direction)
    across = np.zeros(3)
    if on.all():
        first, second = (k for k in TERMINALS if s[k] == np.sign(s.sum()))
        across[first], across[second] = s[first] / 2, -s[second] / 2
    return DiodePath(signs, direction * copies, copies, across)


PATHS: dict[tuple[int, int, int], DiodePath] = {
    signs: _path(signs)
    for a in (-1, 0, 1)
    for b in (-1, 0, 1)
    for c in (-1, 0, 1)
    if 1 in (signs := (a, b, c)) and -1 in signs
}
"""Every way, by its signs: six of two terminals, six of three."""


def star_of(constants: Complex, connection: str) -> tuple[Complex, Complex]:
    """EMFs (3, K) of the star that does the same as windings in star or delta, and what drives a current around, (K,).

    constants: complex amplitudes (3, K) of the windings' own EMFs. A delta of windings R and X does the same as a star
    of R/3 and X/3 driven by a third of the difference of the two windings that meet at a terminal; the mean of
    the three EMFs drives a current around the delta that no load sees. In star that mean drives nothing.
    """
    if connection == "delta":
        return (constants - np.roll(constants, 1, axis=0)) / 3, constants.mean(axis=0)
    return constants, np.zeros_like(constants[0])
