"""Mean square EMF of one turn as a smooth function of the dimensions: what the local optimisation climbs."""

from __future__ import annotations

import numpy as np

from geometry.coils.envelope import Envelope
from geometry.curves.curve import Real, curve_length
from geometry.machine.speed import rad_s_of
from optimizer.brief.brief import Brief
from optimizer.field.linkage import bundle_functional, node_counts
from optimizer.numerics.quadrature import gauss
from optimizer.scan.choices import Family
from optimizer.scan.field_tables import tables_of

OFFSETS = 3  # Gauss nodes across the bundle, the middle among them


class TurnEmf:
    """EMF of one turn of every coil of a family, spread evenly over the bundle's section, at the brief's speed.

    Dimensions come as rows (E, 5) in m: pitch radius, inner and outer radius, width, height.
    """

    def __init__(self, brief: Brief, family: Family) -> None:
        self.brief, self.family = brief, family
        self._table = tables_of(brief).of(family.magnet, family.count, family.stacked)
        self._shares = family.distribution(self._table.orders)
        speed = rad_s_of(brief.speed_rpm)
        self._scale = (speed * family.half_turns) ** 2 / 2

    def envelope(self, inner: Real, outer: Real, width: Real) -> Envelope:
        """What the family's coils are laid out in."""
        return Envelope(
            inner_radius=inner, outer_radius=outer, width=width, sectors=self.family.sectors,
            peg_radius=self.brief.peg_radius,
        )  # fmt: skip

    def mean_squares(self, rows: Real) -> Real:
        """V² per turn² of one phase, (E,)."""
        return self.squares_and_lengths(rows)[0]

    def squares_and_lengths(self, rows: Real) -> tuple[Real, Real]:
        """V² per turn² of one phase, (E,), and the length of one turn of every coil of a phase, m, (E,)."""
        windings, which = _different(rows[:, 1:4])
        fields, whose = _different(rows[:, ::4])
        functionals, lengths = self._functionals(windings)
        means = self._table.means(fields[:, 0], fields[:, 1] * self.family.stacked)
        linked = functionals @ (means.transpose(1, 2, 0) * self._shares[:, None, None])
        return self._scale * np.sum(linked[:, which, whose] ** 2, axis=0), lengths[which]

    def _functionals(self, windings: Real) -> tuple[Real, Real]:
        """Rows of weights (K, E, R), mean over the bundle, of inner and outer radii and widths (E, 3), m; lengths."""
        t, w = gauss(OFFSETS)
        inner, outer, width = windings.T[:, :, None]
        stretches = self.family.topology.half_turn(self.envelope(inner, outer, width), (t - 0.5) * width)
        lengths = np.broadcast_to(curve_length(stretches), (len(windings), OFFSETS))[:, OFFSETS // 2]
        poles, radii = self._table.orders * (self.family.count // 2), self._table.radii
        nodes = node_counts(stretches, radii)
        return bundle_functional(stretches, nodes, w, radii, poles), self.family.half_turns * lengths


def _different(rows: Real) -> tuple[Real, list[int]]:
    """The rows that differ, in order, and which of them each is."""
    known: dict[bytes, int] = {}
    which = [known.setdefault(row.tobytes(), len(known)) for row in rows]
    first = [which.index(i) for i in range(len(known))]
    return rows[first], which
