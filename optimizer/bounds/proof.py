"""A certificate for a whole brief: what no layout that keeps its limits exceeds, whatever its winding's shape.

Pitch radius and bundle height are cut into cells. A bound past one field is straight in the height of the winding, by
the same flux and price; and for one height it is convex in the field, which inside a cell lies between those at the
corners but for how much it is bent. So no machine in the cell gives more than the corners' bounds, carried to its
height and mixed, and the bound of the bend. Bend is measured in the middle of the cell, where that of a parabola is
greatest, and counted half again as much. The cell with the most to give is cut in two, or looked at more closely where
it is bent little, until bend and mixing add next to nothing to the best corner's own bound.

Where watts are the goal, E²/(4R), the length of wire is cut as well, since R goes with it: no winding gives more than
the square of what the longest wire of a cell could, over the resistance of its shortest. The cell of the least wire
begins at none: there E is at most what a wire laid where the flux is greatest gives, and goes with its length.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from heapq import heappop, heappush
from itertools import count as counting
from itertools import pairwise, product
from math import sqrt

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.layout import Carrier, Layout, Winding
from geometry.stock.magnet import Magnet
from geometry.stock.wire import Wire
from optimizer.bounds.any_winding import (
    CELLS,
    COARSE,
    Surroundings,
    WindingBound,
    even_field,
    winding_bound,
    wire_for_turns,
)
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.evaluation.chain import emf_and_power
from optimizer.evaluation.copper import matched_power
from optimizer.field.emf import MachineEmf
from optimizer.jobs.chunks import Progress
from optimizer.scan.choices import closest_pitch_radius, magnet_counts, pitch_limits

BENT = 1.5  # times the bend in the middle of a cell: what it is taken for
STRAIGHT = 0.05  # of the bound: a bend below which a cell is worth a closer look
NEAR = 4e-3  # of the bound: bend and slack at which the search for it ends
PLAIN, ROUGH, SHARP = range(3)  # how closely a cell has been looked at
STEPS = 140  # of one machine's wire, from the shortest to all of it
STRETCHED = 0.1, 0.05, 5e-3  # of the bound, by look: what cutting the length of wire may leave to be gained
SHORT = 1e-3  # of the wire at hand: the shortest that is not looked at as none
NONE = 1e-12  # of the wire at hand: so little that all of it finds its place where the flux is greatest



@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """No layout of a brief gives more than `value`: `unit` V of a phase, or W of all phases where power is the goal.

    magnets, wire, pitch_radius (m), height (m): of the machines that come nearest to it. length: of the wire in a
    phase's turns there, m. looks: cells looked at.
    """

    value: float
    unit: str
    magnet: Magnet
    count: int
    phases: int
    wire: Wire
    pitch_radius: float
    height: float
    length: float
    looks: int

    def as_dict(self) -> dict[str, float | int | str]:
        """For JSON, lengths in mm."""
        return {
            "emf_rms_V" if self.unit == "V" else "matched_power_W": float(f"{self.value:.4g}"),
            "magnet_count": self.count,
            "phases": self.phases,
            "wire_diameter_mm": self.wire.diameter_mm,
            "pitch_radius_mm": round(self.pitch_radius * 1e3, 2),
            "height_mm": round(self.height * 1e3, 2),
            "looks": self.looks,
        }


@dataclass(frozen=True, slots=True)
class Kind:
    """What a cell leaves alone. length: of wire for the turns of a phase, m.

    layers: into how many the height may be cut, in which phases have EMFs that differ, where that matters.
    """

    brief: Brief
    magnet: Magnet
    count: int
    phases: int
    wire: Wire
    length: float
    layers: int = 1

    def layout(self, pitch_radius: float, height: float) -> Layout:
        """A machine whose winding fills the whole room, lengths in m: only its surroundings matter."""
        brief, space = self.brief, self.brief.space
        winding = Winding(
            topology="serpentine", inner_radius=space.bore_radius, outer_radius=space.outer_radius, width=1e-3,
            height=height / self.phases, turns=1, wire=self.wire, peg_radius=brief.peg_radius,
            fill_factor=brief.fill_factor, phases=self.phases,
        )  # fmt: skip
        carrier = Carrier(
            magnet=self.magnet, count=self.count, pitch_radius=pitch_radius, arrangement=brief.arrangement,
            plate=brief.plate,
        )  # fmt: skip
        return Layout(
            title=brief.title, space=space, carrier=carrier, winding=winding, air_gap=brief.air_gap,
            speed_rpm=brief.speed_rpm,
        )  # fmt: skip

    @property
    def watts(self) -> bool:
        """Whether power is the goal, not the EMF."""
        return not GOALS[self.brief.goal].root

    def value(self, volts: float, share: float) -> float:
        """Of the goal, in V or W; share: of `length` that the turns take at least."""
        if not self.watts:
            return volts
        return self.phases * matched_power(volts, share * self.length * self.wire.resistance_per_metre)


@dataclass(frozen=True)
class _Cell:
    """Pitch radii and heights from the first to the second of each, m, and how closely they are looked at.

    wire: shares of the kind's length, from the first to the second.
    """

    kind: Kind
    radii: tuple[float, float]
    heights: tuple[float, float]
    wire: tuple[float, float] = (1.0, 1.0)
    look: int = PLAIN

    def closer(self) -> Iterator[_Cell]:
        """Its halves, cut where they are bent least; or the same looked at more closely."""
        (short, long), volts = self.wire, self.mixed[0]
        if self._stretch > max(STRETCHED[self.look], 2 * (self.bend + self.slack) / volts):
            middle = sqrt(short * long) or long / 2
            yield from (replace(self, wire=part) for part in ((short, middle), (middle, long)))
            return
        if self.look < SHARP and self.bend + self.slack < STRAIGHT * volts:
            yield replace(self, look=self.look + 1)
            return
        (low, high), (flat, tall) = self.radii, self.heights
        middle, between = (low + high) / 2, (flat + tall) / 2
        along = [replace(self, radii=part) for part in ((low, middle), (middle, high)) if low < high]
        across = [replace(self, heights=part) for part in ((flat, between), (between, tall)) if flat < tall]
        if across and self.slack > self.bend:
            yield from across
            return
        yield from min(filter(None, (along, across)), key=lambda halves: max(half.bend for half in halves))

    @property
    def _lengths(self) -> tuple[float, ...]:
        """Shares of wire that bounds are found for: in the middle, for which programs are solved, and the ends."""
        short, long = self.wire
        return (long,) if short in (0, long) else (sqrt(short * long), short, long)

    @cached_property
    def _corners(self) -> dict[float, Real]:
        """By pitch radius the bounds in V for each length of wire (L,) of the low and the tall corner, for a low and a
        tall winding, (L, 2, 2)."""
        flat, tall = self.heights
        rooms = ((flat, 1.0), (flat, tall / flat)), ((tall, flat / tall), (tall, 1.0))
        return {
            radius: np.array(
                [[[self._at(radius, *each, wire) for each in row] for row in rooms] for wire in self._lengths]
            )
            for radius in dict.fromkeys(self.radii)
        }

    def _at(self, radius: float, height: float, room: float, wire: float) -> float:
        solved = self._solved
        around = _surroundings(self.kind, radius, height, CELLS if self.look == SHARP else COARSE, solved)
        closest = around.emf_rms if self.kind.layers == 1 else around.apart_rms
        look = (around.plain_rms, around.rough_rms, closest)[self.look]
        return look(room, wire / solved)

    @property
    def _solved(self) -> float:
        """Share of wire that the programs are solved for."""
        return self._lengths[0] if self.wire[0] else NONE

    @cached_property
    def _mixtures(self) -> list[tuple[float, float, float]]:
        """For each length of wire what the corners' bounds come to at most, V, and where: pitch radius and height, m.

        A share of the way from the low corner to the tall one, both are mixed by it and carried to the height there.
        """
        (flat, tall), share = self.heights, np.linspace(0, 1, 65)
        weights = np.stack([1 - share, share])
        radii = list(self._corners)
        mixed = np.stack([np.einsum("is,js,lij->ls", weights, weights, own) for own in self._corners.values()])
        places = [np.unravel_index(int(np.argmax(each)), each.shape) for each in mixed.transpose(1, 0, 2)]
        return [
            (float(mixed[r, line, at]), radii[r], flat + float(share[at]) * (tall - flat))
            for line, (r, at) in enumerate(places)
        ]

    @property
    def mixed(self) -> tuple[float, float, float]:
        """The same for the length of wire in the middle."""
        return self._mixtures[0]

    @property
    def slack(self) -> float:
        """What mixing and carrying add to the best corner's own bound, V."""
        return self.mixed[0] - max(float(np.diag(own[0]).max()) for own in self._corners.values())

    @property
    def bend(self) -> float:
        """The bound of what the field in the cell may lie off the corners' mixture, V."""
        return self._bends[0]

    @cached_property
    def _bends(self) -> list[float]:
        """Of each length of wire, V."""
        (radius, height), tall = (sum(self.radii) / 2, sum(self.heights) / 2), self.heights[1]
        corners = [_field(self.kind, *corner) for corner in product(self.radii, self.heights)]
        bent = BENT * (_field(self.kind, radius, height) - sum(corners) / len(corners))
        if not np.abs(bent[0]).max():
            return [0.0] * len(self._lengths)
        solved = self._solved
        around = Surroundings(self.kind.layout(radius, tall), solved * self.kind.length, COARSE, bent)
        return [around.plain_rms(1.0, wire / solved) for wire in self._lengths]

    @cached_property
    def _values(self) -> list[float]:
        """What no machine of the cell with each length of wire exceeds, in V or W.

        Of the lengths in between none gives more than the ends: E and its square over the length are convex in it.
        """
        volts = [mixed[0] + bend for mixed, bend in zip(self._mixtures, self._bends, strict=True)]
        return [self.kind.value(*each) for each in zip(volts, self._lengths, strict=True)]

    @property
    def bound(self) -> float:
        """What no machine of the cell exceeds, in V or W."""
        return max(self._values)

    @property
    def _stretch(self) -> float:
        """What the ends add to the value in the middle, as a share of it; 1 where a cell begins at no wire."""
        return self.bound / self._values[0] - 1 if self.wire[0] else 1.0

    def settled(self, near: float) -> bool:
        """Whether a closer look would bring next to nothing. near: share of the bound that may be left."""
        return self.look == SHARP and max((self.bend + self.slack) / self.mixed[0], self._stretch / 2) < near


def _field(kind: Kind, radius: float, height: float) -> Real:
    """`even_field` at one place."""
    return _field_of(kind.layout(radius, height), kind.layers)


_field_of = lru_cache(maxsize=4096)(even_field)


@lru_cache(maxsize=256)
def _surroundings(
    kind: Kind, radius: float, height: float, cells: tuple[int, int], share: float
) -> Surroundings:
    """What the program of a share of the kind's wire is solved in."""
    return Surroundings(kind.layout(radius, height), share * kind.length, cells, _field(kind, radius, height))


def prove(brief: Brief, progress: Progress = lambda stage, share: None, near: float = NEAR) -> Proof:
    """The certificate of a brief in which something fits.

    near: share of the bound, above 0, that bend and slack may still add where the search for it ends.
    """
    cells, looks = list(_cells(brief)), 0

    def told(cell: _Cell) -> None:
        nonlocal looks
        looks += 1
        if looks <= len(cells):
            progress("Proving: every magnet count and wire", looks / len(cells))
        else:
            progress(f"Proving: no more than {cell.bound:.4g} {unit}", 1.0)

    unit = "V" if GOALS[brief.goal].root else "W"
    top = _highest(cells, near, told)
    kind, (_, radius, height) = top.kind, top.mixed
    return Proof(
        value=top.bound, unit=unit, magnet=kind.magnet, count=kind.count, phases=kind.phases, wire=kind.wire,
        pitch_radius=radius, height=height, length=kind.length * top.wire[1], looks=looks,
    )  # fmt: skip


def brief_bound(brief: Brief, emf: MachineEmf) -> WindingBound:
    """The bound past the magnets of a machine that was found for a brief, by all the wire that the brief allows."""
    layout = emf.layout
    carrier, wire = layout.carrier, layout.winding.wire
    length = wire_for_turns(brief, wire, layout.phases, layout.sides)
    layers = layout.phases if layout.stacked else 1
    kind = Kind(brief, carrier.magnet, carrier.count, layout.phases, wire, length, layers)
    if not kind.watts:
        return winding_bound(emf, length)
    most, share = _most_watts(kind, layout)
    return winding_bound(emf, length, (most, emf_and_power(layout)[1], length * share))


def _most_watts(kind: Kind, layout: Layout) -> tuple[float, float]:
    """What no winding past one machine's magnets exceeds, W, and the share of the kind's wire where it is greatest.

    A program is solved for the step of wire where most might be; what it says of all other steps holds as well. None is
    left to be solved when the step with the most has been.
    """
    edges = np.geomspace(SHORT, 1, STEPS + 1)
    middles, field = np.sqrt(edges[:-1] * edges[1:]), even_field(layout, kind.layers)
    around = [Surroundings(layout, kind.length * middle, field=field) for middle in middles.tolist()]
    least = Surroundings(layout, kind.length * NONE, field=field).plain_rms(1.0, SHORT / NONE)
    most: Real = np.array([
        max(kind.value(each.plain_rms(1.0, edge / middle), edge) for edge in ends)
        for each, middle, ends in zip(around, middles.tolist(), pairwise(edges.tolist()), strict=True)
    ])  # fmt: skip
    solved = set[int]()
    while (top := int(np.argmax(most))) not in solved:
        solved.add(top)
        bound = around[top].emf_rms if kind.layers == 1 else around[top].apart_rms
        curve = np.array([kind.value(bound(1.0, edge / float(middles[top])), edge) for edge in edges.tolist()])
        most = np.minimum(most, np.maximum(curve[:-1], curve[1:]))
    return max(float(most[top]), kind.value(least, SHORT)), float(middles[top])


def _highest(
    cells: Sequence[_Cell], near: float, told: Callable[[_Cell], None] = lambda cell: None
) -> _Cell:
    """The settled cell whose bound none of the others, or of their parts, exceeds. told: of each that is looked at."""
    heap, order = list[tuple[float, int, _Cell]](), counting()
    parts: Iterable[_Cell] = cells
    while True:
        for part in parts:
            heappush(heap, (-part.bound, next(order), part))
            told(part)
        _, _, top = heappop(heap)
        if top.settled(near):
            return top
        parts = top.closer()


def _of_any_length(cell: _Cell) -> Iterator[_Cell]:
    """The same where the EMF is the goal, which all wire serves best; where watts are, from no wire to all of it."""
    if not cell.kind.watts:
        yield cell
        return
    yield from (replace(cell, wire=part) for part in ((0.0, SHORT), (SHORT, 1.0)))


def _cells(brief: Brief) -> Iterator[_Cell]:
    """All that a brief allows: one cell for each magnet, count, number of phases and wire."""
    sides = 2 if brief.arrangement == "two-sided" else 1
    for stock in brief.magnets:
        low, high = pitch_limits(brief, stock.magnet)
        for count, phases, wire in product(magnet_counts(brief, stock), brief.phases, brief.wires):
            nearest = max(low, closest_pitch_radius(brief, stock.magnet, count))
            flat = min(brief.least_layers * wire.overall_diameter, brief.coil_height)
            length = wire_for_turns(brief, wire, phases, sides)
            layers = 1 if GOALS[brief.goal].root else phases
            kind = Kind(brief, stock.magnet, count, phases, wire, length, layers)
            if kind.length > 0:
                yield from _of_any_length(_Cell(kind, (min(nearest, high), high), (flat, brief.coil_height)))
