"""A certificate for a whole brief: what no layout that keeps its limits exceeds, whatever its winding's shape.

Pitch radius and bundle height are cut into cells. A bound past one field is straight in the height of the winding, by
the same flux and price; and for one height it is convex in the field, which inside a cell lies between those at the
corners but for how much it is bent. So no machine in the cell gives more than the corners' bounds, carried to its
height and mixed, and the bound of the bend. Bend is measured in the middle of the cell, where that of a parabola is
greatest, and counted half again as much. The cell with the most to give is cut in two, or looked at more closely where
it is bent little, until bend and mixing add next to nothing to the best corner's own bound.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from heapq import heappop, heappush
from itertools import count as counting
from itertools import product

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.layout import Carrier, Layout, Winding
from geometry.stock.magnet import Magnet
from geometry.stock.wire import Wire
from optimizer.bounds.any_winding import CELLS, COARSE, Surroundings, even_field, wire_for_turns
from optimizer.brief.brief import Brief
from optimizer.scan.choices import closest_pitch_radius, magnet_counts, pitch_limits

BENT = 1.5  # times the bend in the middle of a cell: what it is taken for
STRAIGHT = 0.05  # of the bound: a bend below which a cell is worth a closer look
NEAR = 4e-3  # of the bound: bend and slack at which the search for it ends
PLAIN, ROUGH, SHARP = range(3)  # how closely a cell has been looked at

Progress = Callable[[str, float], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """No layout of a brief gives a phase more than `emf_rms_V`.

    magnets, wire, pitch_radius (m), height (m): of the machines that come nearest to it. looks: cells looked at.
    """

    emf_rms_V: float
    magnet: Magnet
    count: int
    phases: int
    wire: Wire
    pitch_radius: float
    height: float
    looks: int

    def as_dict(self) -> dict[str, float | int | str]:
        """For JSON, lengths in mm."""
        return {
            "emf_rms_V": float(f"{self.emf_rms_V:.4g}"),
            "magnet_count": self.count,
            "phases": self.phases,
            "wire_diameter_mm": self.wire.diameter_mm,
            "pitch_radius_mm": round(self.pitch_radius * 1e3, 2),
            "height_mm": round(self.height * 1e3, 2),
            "looks": self.looks,
        }


@dataclass(frozen=True, slots=True)
class Kind:
    """What a cell leaves alone. length: of wire for the turns of a phase, m."""

    brief: Brief
    magnet: Magnet
    count: int
    phases: int
    wire: Wire
    length: float

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


@dataclass(frozen=True)
class _Cell:
    """Pitch radii and heights from the first to the second of each, m, and how closely they are looked at."""

    kind: Kind
    radii: tuple[float, float]
    heights: tuple[float, float]
    look: int = PLAIN

    def closer(self) -> Iterator[_Cell]:
        """Its halves, cut where they are bent least; or the same looked at more closely."""
        if self.look < SHARP and self.bend + self.slack < STRAIGHT * self.mixed[0]:
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

    @cached_property
    def _corners(self) -> dict[float, Real]:
        """By pitch radius the bounds in V of the low and the tall corner, for a low and a tall winding, (2, 2)."""
        flat, tall = self.heights
        rooms = ((flat, 1.0), (flat, tall / flat)), ((tall, flat / tall), (tall, 1.0))
        radii = dict.fromkeys(self.radii)
        return {
            radius: np.array([[self._at(radius, *each) for each in row] for row in rooms]) for radius in radii
        }

    def _at(self, radius: float, height: float, room: float) -> float:
        around = _surroundings(self.kind, radius, height, CELLS if self.look == SHARP else COARSE)
        return (around.plain_rms, around.rough_rms, around.emf_rms)[self.look](room)

    @cached_property
    def mixed(self) -> tuple[float, float, float]:
        """What the corners' bounds come to at most, V, and the pitch radius and height where, m.

        A share of the way from the low corner to the tall one, both are mixed by it and carried to the height there.
        """
        (flat, tall), share = self.heights, np.linspace(0, 1, 65)
        weights = np.stack([1 - share, share])
        mixtures = {r: np.einsum("is,js,ij->s", weights, weights, own) for r, own in self._corners.items()}
        radius = max(mixtures, key=lambda each: float(mixtures[each].max()))
        at = int(np.argmax(mixtures[radius]))
        return float(mixtures[radius][at]), radius, flat + float(share[at]) * (tall - flat)

    @property
    def slack(self) -> float:
        """What mixing and carrying add to the best corner's own bound, V."""
        return self.mixed[0] - max(float(np.diag(own).max()) for own in self._corners.values())

    @cached_property
    def bend(self) -> float:
        """The bound of what the field in the cell may lie off the corners' mixture, V."""
        (radius, height), tall = (sum(self.radii) / 2, sum(self.heights) / 2), self.heights[1]
        corners = [_field(self.kind, *corner) for corner in product(self.radii, self.heights)]
        bent = BENT * (_field(self.kind, radius, height) - sum(corners) / len(corners))
        if not np.abs(bent[0]).max():
            return 0.0
        return Surroundings(self.kind.layout(radius, tall), self.kind.length, COARSE, bent).plain_rms()

    @property
    def bound(self) -> float:
        """What no machine of the cell exceeds, V."""
        return self.mixed[0] + self.bend


@lru_cache(maxsize=4096)
def _field(kind: Kind, radius: float, height: float) -> Real:
    """`even_field` at one place."""
    return even_field(kind.layout(radius, height))


@lru_cache(maxsize=256)
def _surroundings(kind: Kind, radius: float, height: float, cells: tuple[int, int]) -> Surroundings:
    return Surroundings(kind.layout(radius, height), kind.length, cells, _field(kind, radius, height))


def prove(brief: Brief, progress: Progress = lambda stage, share: None, near: float = NEAR) -> Proof:
    """The certificate of a brief in which something fits.

    near: share of the bound, above 0, that bend and slack may still add where the search for it ends.
    """
    order, looks = counting(), 0
    heap: list[tuple[float, int, _Cell]] = []
    cells = list(_cells(brief))
    for done, cell in enumerate(cells):
        progress("Proving: every magnet count and wire", done / len(cells))
        heappush(heap, (-cell.bound, next(order), cell))
        looks += 1
    while True:
        bound, _, cell = heappop(heap)
        if cell.look == SHARP and cell.bend + cell.slack < -bound * near:
            _, radius, height = cell.mixed
            kind = cell.kind
            return Proof(
                emf_rms_V=-bound, magnet=kind.magnet, count=kind.count, phases=kind.phases, wire=kind.wire,
                pitch_radius=radius, height=height, looks=looks,
            )  # fmt: skip
        for part in cell.closer():
            heappush(heap, (-part.bound, next(order), part))
            looks += 1
        progress(f"Proving: no more than {-bound:.4g} V", 1.0)


def _cells(brief: Brief) -> Iterator[_Cell]:
    """All that a brief allows: one cell for each magnet, count, number of phases and wire."""
    sides = 2 if brief.arrangement == "two-sided" else 1
    for stock in brief.magnets:
        low, high = pitch_limits(brief, stock.magnet)
        for count, phases, wire in product(magnet_counts(brief, stock), brief.phases, brief.wires):
            nearest = max(low, closest_pitch_radius(brief, stock.magnet, count))
            flat = min(brief.least_layers * wire.overall_diameter, brief.coil_height)
            kind = Kind(brief, stock.magnet, count, phases, wire, wire_for_turns(brief, wire, phases, sides))
            if kind.length > 0:
                yield _Cell(kind, (min(nearest, high), high), (flat, brief.coil_height))
