"""What any winding at all could give past the magnets of one machine, in the same height, of the same wire.

Its turns may run as they like in the annulus between bore and rim, in one coil or many, as long as no place holds more
wire than the fill factor lets in and all of it is no longer than what is at hand. Turned by pole pitches, mirrored and
averaged, such a winding keeps its fundamental EMF and both limits, so half a pole pitch stands for all of them. A
fundamental of B_z = b(r) cos(p φ) has the flux q₀ = −r b(r) sin(p φ)/p along φ.

Harmonics: the RMS is the greatest Σ w_k E_k over directions w of length 1, and that is linear in ψ as well. The third
harmonic, whose best windings are others than the fundamental's, is bounded jointly with it, over all directions of the
two; every higher one by its own program.
"""

# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# scipy.sparse has no types

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import atan, cos, inf, pi, sin, sqrt

import numpy as np
from scipy import sparse
from scipy.interpolate import CubicSpline
from scipy.sparse.linalg import spsolve

from geometry.curves.curve import Real
from geometry.machine.filaments import PHASE_END, without_spare
from geometry.machine.layout import Layout
from geometry.stock.wire import Wire
from optimizer.bounds.patch import MIRRORED, Flux, Patch, samples
from optimizer.bounds.stream_program import SUMMED, Certificate, best_stream, bound_of, certify
from optimizer.brief.brief import Brief
from optimizer.field.emf import MachineEmf, height_nodes, machine_field
from optimizer.field.pole_harmonics import odd_orders, pole_harmonics
from optimizer.numerics.quadrature import chebyshev_basis, even_grid, gauss

CELLS = (16, 12)  # of the fundamental's program, along the radius and over half a pole pitch
PLAIN_POINTS = 40  # along each side of half a wave
COARSE = (8, 6)  # of the higher harmonics'
SLIGHT = 0.03  # of the fundamental: what need not be known better, as squares are summed
DIRECTIONS = (6, 12)  # of fundamental and third harmonic, by size and by phase


@dataclass(frozen=True, slots=True, kw_only=True)
class WindingBound:
    """What no winding of a machine's wire and height exceeds past its magnets.

    emf_rms_V: of a phase, or of the phases' mean. matched_power_W: of all phases, where power is the goal. share: the
    machine's own part of the goal. grid_error: share by which the bound of the fundamental's part may lie above the
    best that there is. radii (R,), m, angles (A,), rad from a magnet's axis, and turns (R, A): a winding that comes as
    near as that, as the number of turns inside each place.
    """

    emf_rms_V: float
    matched_power_W: float | None = None
    share: float
    grid_error: float
    radii: Real = field(compare=False)
    angles: Real = field(compare=False)
    turns: Real = field(compare=False)

    def as_dict(self) -> dict[str, float]:
        """For JSON: `emf_rms_V`, `matched_power_W` where power is the goal, `share`, `grid_error`."""
        watts = {} if self.matched_power_W is None else {"matched_power_W": self.matched_power_W}
        return {"emf_rms_V": self.emf_rms_V, **watts, "share": self.share, "grid_error": self.grid_error}


def winding_bound(emf: MachineEmf, length: float, watts: tuple[float, float, float] | None = None) -> WindingBound:
    """The bound past a machine's magnets. length: of wire for the turns of a phase, m, above 0.

    watts: where power is the goal, the most that any winding gives and what the machine does, W, and of how long a
    wire, m.
    """
    around = Surroundings(emf.layout, length)
    bound, own = around.emf_rms(), float(np.mean([wave.rms for wave in emf.phases]))
    share, power = own / bound, 1
    drawn = around
    if watts is not None:
        share, power = watts[1] / watts[0], 2
        drawn = Surroundings(emf.layout, watts[2])
    best = best_stream(drawn.patch(1, CELLS), drawn.known(1), drawn.length_of(1))
    return WindingBound(
        emf_rms_V=bound,
        matched_power_W=None if watts is None else watts[0],
        share=share,
        grid_error=1 - max((best.linked / drawn.fundamental.value) ** power, share),
        radii=best.u * drawn.rim,
        angles=best.v,
        turns=best.values * drawn.density * drawn.rim,
    )


def wire_for_turns(brief: Brief, wire: Wire, phases: int, sides: int) -> float:
    """The most that the turns of a phase of any winding may take, m.

    Any winding takes two ends beyond its turns, on each side that has coils; joints it might do without.
    """
    by_length = by_resistance = inf
    if (length := brief.length_of(wire)) is not None:
        by_length = without_spare(length) / (phases * wire.strands) - 2 * PHASE_END * sides
    if brief.resistance is not None:
        by_resistance = brief.resistance / wire.resistance_per_metre
    return min(by_length, by_resistance)


def even_field(layout: Layout, layers: int = 1) -> Real:
    """Pole harmonics of the field evenly over the height of the winding, T, (K, R).

    layers: each of so many is averaged by itself, and the root of their mean square is taken: then there is no sign.
    Orders: `odd_orders` at the rim. Radii: `radii_of` the layout.
    """
    rim, heights = layout.space.outer_radius, height_nodes(layout.air_gap, layout.stack_height)
    field = machine_field(layout, heights, layout.carrier.pitch_radius + rim)
    nodes, shares = gauss(heights.size)
    carrier, orders = layout.carrier, odd_orders(layout.carrier.count, rim, layout.air_gap)
    harmonics = pole_harmonics(field, carrier.count, carrier.pitch_radius, radii_of(layout), orders)
    evenly = [shares @ chebyshev_basis(heights.size, 2 * (nodes + at) / layers - 1) for at in range(layers)]
    means = np.einsum("lz,kzr->lkr", np.stack(evenly), harmonics)
    return means[0] if layers == 1 else np.sqrt((means**2).mean(axis=0))


def radii_of(layout: Layout) -> Real:
    """From bore to rim, m, (R,), as close as the field asks for."""
    return even_grid(layout.space.bore_radius, layout.space.outer_radius, layout.air_gap / 2.5)


class Surroundings:
    """The field, the room and the wire that a machine's coils have, without the coils.

    The programs' units: lengths by the rim's radius, turns so that their density is at most 1, the field by the
    fundamental's peak.
    """

    def __init__(
        self, layout: Layout, length: float, cells: tuple[int, int] = CELLS, field: Real | None = None
    ) -> None:
        """length: of wire for the turns of a phase, m; field: in place of the magnets', as `even_field`."""
        self.layout, self.rim, self._cells = layout, layout.space.outer_radius, cells
        winding = layout.winding
        self.density = winding.fill_factor * layout.stack_height / winding.wire.overall_area
        self._length = length / layout.sides / (self.density * self.rim**2)
        self.orders = odd_orders(layout.carrier.count, self.rim, layout.air_gap)
        even = even_field(layout) if field is None else field
        self._peak = float(np.abs(even[0]).max())
        self._field = CubicSpline(radii_of(layout) / self.rim, even / self._peak, axis=1)

    @property
    def volts(self) -> float:
        """RMS EMF in V per unit of what half a pole pitch links of the fundamental."""
        layout, pairs = self.layout, self.layout.carrier.pole_pairs
        linked = 4 * pairs * layout.sides * self._peak * self.density * self.rim**3
        return layout.angular_speed * pairs * linked / sqrt(2)

    def patch(self, order: int, cells: tuple[int, int]) -> Patch:
        """Half a wave of a harmonic: from a magnet's axis, a mirror, to where the winding's sense turns round.

        The fundamental's phases share their room; a harmonic's program leaves each all of it, which only gives more.
        """
        layout = self.layout
        return Patch(
            low=layout.space.bore_radius / self.rim,
            high=1.0,
            width=pi / (2 * order * layout.carrier.pole_pairs),
            polar=True,
            cells=cells,
            free=frozenset({"start"}),
            phases=layout.phases if order == 1 else 1,
        )

    def known(self, order: int, *, sine: bool = False) -> Flux:
        """A flux whose sources are a harmonic of the field; sine: of one that is turned by a quarter of its wave."""
        pairs, row = order * self.layout.carrier.pole_pairs, int(np.searchsorted(self.orders, order))

        def flux(u: Real, v: Real) -> tuple[Real, Real]:
            radii, each = np.unique(u, return_inverse=True)
            wave = -np.cos(pairs * v) if sine else np.sin(pairs * v)
            return np.zeros_like(u), (-radii * self._field(radii)[row])[each] * wave / pairs

        return flux

    def length_of(self, order: int) -> float:
        """Of the wire, in the patch's unit squared, what falls to half a wave of a harmonic."""
        return self._length / (4 * order * self.layout.carrier.pole_pairs)

    @cached_property
    def fundamental(self) -> Certificate:
        """The bound of the fundamental's part."""
        return certify(self.patch(1, self._cells), self.known(1), self.length_of(1))

    def emf_rms(self, room: float = 1.0, wire: float = 1.0) -> float:
        """The bound of a phase's RMS EMF, V, by the fluxes and prices that are best for this height and this wire.

        room, wire: height of the winding and length of its wire in place of its own, as multiples; the bound is convex
        in the two together.
        """
        return self._norm(self._closest, room, wire)

    def apart_rms(self, room: float = 1.0, wire: float = 1.0) -> float:
        """A larger one, V, for which the field's signs do not matter: each order's own, summed. See `emf_rms`."""
        return self._norm(self._each[:, None], room, wire)

    def rough_rms(self, room: float = 1.0, wire: float = 1.0) -> float:
        """A larger one, V, sooner found: the fundamental's, and beside it what `plain_rms` has. See `emf_rms`."""
        return self._norm([self.fundamental.parts[None], *self._plain[1:, None]], room, wire)

    def plain_rms(self, room: float = 1.0, wire: float = 1.0) -> float:
        """A quick and larger one, V: each order's own, with no program solved. See `emf_rms`."""
        return self._norm(self._plain[:, None], room, wire)

    def _norm(self, orders: Iterable[Real], room: float, wire: float) -> float:
        """Root of the sum of squares, V, of the orders' bounds, each the greatest of some (N, 2), by wire and room."""
        return self.volts * float(np.linalg.norm([(each @ (wire, room)).max() for each in orders]))

    @cached_property
    def _plain(self) -> Real:
        """Of each order, (K, 2): what q₀ itself gives at the price that is best, by wire and by room.

        That is where the places with more flux than it take just the wire there is. Orders differ by the field alone:
        their half waves are cut alike, and what each links less of, all around, it passes the more often.
        """
        pairs, low = self.layout.carrier.pole_pairs, self.layout.space.bore_radius / self.rim
        (nodes, shares), (along, parts) = gauss(PLAIN_POINTS), gauss(PLAIN_POINTS)
        u, wave = low + (1 - low) * nodes, np.sin(pi / 2 * along)
        area = np.outer(u * shares * (1 - low), parts * pi / 2).ravel()
        size = (np.abs(self._field(u) * u)[:, :, None] * wave).reshape(self.orders.size, -1)
        most = np.argsort(-size, axis=1)
        size, area = np.take_along_axis(size, most, 1), area[most]
        used = (np.cumsum(area, axis=1) < self._length / 4).sum(axis=1)
        price = np.append(size, np.zeros((self.orders.size, 1)), 1)[np.arange(self.orders.size), used]
        excess = (np.maximum(size - price[:, None], 0) * area).sum(axis=1)
        return np.stack([price * self._length / 4, excess], axis=1) / pairs**2

    @cached_property
    def _closest(self) -> Sequence[Real]:
        """The two lowest orders together, and the others; or each by itself, if that is less."""
        ways = [self._low_orders, *self._each[2:, None]], [*self._each[:, None]]
        return min(ways, key=lambda orders: self._norm(orders, 1.0, 1.0))

    @cached_property
    def _each(self) -> Real:
        """Each order's own bound in units of the fundamental's linked flux, by wire and by room, (K, 2)."""
        each, slight = self._plain.copy(), SLIGHT * self.fundamental.value
        for row, order in enumerate(self.orders.tolist()):
            if order == 1:
                each[row] = self.fundamental.parts
            elif each[row].sum() >= slight:
                program = self.patch(order, COARSE), self.known(order), self.length_of(order)
                each[row] = order * order * certify(*program).parts
        return each

    @cached_property
    def _low_orders(self) -> Real:
        """Fundamental and third harmonic together: bounds by wire and by room, (N, 2), the greatest of which holds.

        Over a fan of directions of the two. Where even their own two bounds give less than the fundamental's alone, no
        direction is worth a look. Between neighbours of the fan the true bound is convex, so it exceeds them by 1/cos
        of half their angle at most.
        """
        first, third = self._each[:2]
        widest = 2 * atan(third.sum() / first.sum())
        sizes, phases = (
            np.linspace(0, end, count + 1) for end, count in zip((widest, pi), DIRECTIONS, strict=True)
        )
        cosine, sine = self._third
        ways = [
            min(
                self._towards(cos(a) * self._first, sin(a) * cos(b) * cosine, sin(a) * sin(b) * sine),
                cos(a) * first + sin(a) * third,
                key=np.sum,
            )
            for a in sizes.tolist()
            for b in phases.tolist()
        ]
        ways.append(cos(widest) * first + sin(widest) * third)
        return np.array(ways) / cos(sizes[1] / 2) / cos(phases[1] / 2 * sin(widest))

    @cached_property
    def _first(self) -> Real:
        """The fundamental's flux at the samples, (2, J)."""
        return self.fundamental.flux(self.patch(1, self._cells), self.known(1))

    @cached_property
    def _third(self) -> tuple[Real, Real]:
        """Small fluxes whose sources are the third harmonic's two parts in the fundamental's patch, (2, J) each."""
        patch = self.patch(1, self._cells)
        at = samples(patch, SUMMED, 2)
        root = np.sqrt(at.area)
        found: list[Real] = []
        for sine, mirror in ((False, "start"), (True, "end")):
            flux = 3 * np.stack(self.known(3, sine=sine)(at.u, at.v))
            kept = patch.inside(2, frozenset({mirror}))
            rows = sparse.vstack([at.along_v[:, kept], -at.along_u[:, kept]]).tocsc()
            weighted = sparse.diags(np.tile(root, 2)) @ rows
            curl = spsolve(weighted.T @ weighted, -weighted.T @ (flux * root).ravel())
            found.append(flux + (rows @ curl).reshape(2, -1))
        return found[0], found[1]

    def _towards(self, first: Real, cosine: Real, sine: Real) -> Real:
        """The bound towards one direction, over both halves of a pole pitch: the sine's part differs in sign.

        By wire and by room, (2,).
        """
        patch, length, price = self.patch(1, self._cells), self.length_of(1), self.fundamental.price
        halves = [np.hypot(*(first + cosine + side * self._signs * sine)) for side in (1, -1)]
        return np.mean([bound_of(patch, size, length, price) for size in halves], axis=0)

    @cached_property
    def _signs(self) -> Real:
        """Of each sample: −1 where a place that phases share sees it in a mirror."""
        members = self.patch(1, self._cells).sharing(SUMMED)
        signs = np.ones(members.size)
        signs[members] = MIRRORED[: members.shape[0]]
        return signs
