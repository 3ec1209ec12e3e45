"""The search space: what a brief leaves open, discrete and continuous, and the grid the scan looks at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import astuple, dataclass
from functools import lru_cache
from math import ceil, log

import numpy as np

from geometry.coils.bundle import Envelope
from geometry.coils.series_order import series_order
from geometry.coils.star_of_slots import PhaseCoils, distribution_factor
from geometry.coils.topology import TOPOLOGIES, Topology
from geometry.curves.curve import Real
from geometry.machine.filaments import Leads, leads_among
from geometry.machine.layout import Carrier, Layout, Winding
from geometry.stock.magnet import Magnet
from geometry.stock.wire import Wire
from optimizer.brief.brief import Brief, StockMagnet

PITCHES, RADII, WIDTHS, HEIGHTS = 14, 28, 16, 8  # most points of the scan's grid
WIDER, TALLER = 1.3, 1.4  # from one width and one height of the grid to the next, at least
MOST_MAGNETS = 1000  # as many as a layout file takes


@dataclass(frozen=True, slots=True)
class Family:
    """What the continuous search leaves alone: the magnet, how many, the coil shape, phases and coils.

    coils: of three phases together, around one side; None for one coil per magnet and for a serpentine.
    sides: of the carrier that have coils.
    """

    magnet: Magnet
    count: int
    topology: Topology
    phases: int = 1
    coils: int | None = None
    sides: int = 1

    @property
    def sectors(self) -> int:
        """Equal sectors that share the circle."""
        return self.coils or self.count

    @property
    def stacked(self) -> int:
        """Bundles one above the other: a three-phase serpentine's."""
        return self.topology.levels(self.phases)

    @property
    def phases_per_level(self) -> int:
        """Phases whose coils lie side by side."""
        return self.phases // self.stacked

    @property
    def pieces(self) -> int:
        """Pieces that each bundle is wound in: interleaved ones lie in two halves."""
        return 2 if self.stacked > 1 else 1

    @property
    def members(self) -> PhaseCoils:
        """Coils of the first phase on one side, in series order."""
        return series_order(self.topology, self.sectors, self.count, self.phases, self.sides).members[0]

    @property
    def half_turns(self) -> float:
        """Half turns in one turn of every coil of a phase."""
        return self.sides * self.topology.half_turns(self.sectors) / self.phases_per_level

    def phase_turn_length(self, envelope: Envelope) -> Real:
        """Length of one turn of every coil of a phase, m (broadcasts)."""
        return self.topology.turn_length(envelope) * (self.sides / self.phases_per_level)

    def distribution(self, orders: Real) -> Real:
        """Distribution factors (K,) of a phase's coils at odd orders (K,) of the pole pairs."""
        if self.phases_per_level == 1:
            return np.ones(orders.size)
        return np.array([distribution_factor(self.members, self.sectors, self.count, int(k)) for k in orders])


@lru_cache(maxsize=64)
def leads_of(family: Family) -> Leads:
    """What is led out of the coils of each phase of a family."""
    return leads_among(family.members, family.sectors, family.sides, family.pieces)


@dataclass(frozen=True, slots=True)
class Dimensions:
    """What the continuous search moves, m. peg_radius: of the former's corners, at least the brief's."""

    pitch_radius: float
    inner_radius: float
    outer_radius: float
    width: float
    height: float
    peg_radius: float


@dataclass(frozen=True, slots=True)
class Candidate:
    """A winding of a family, its wire, its turns (whole, or real on the way), and the goal's value in its unit."""

    family: Family
    dimensions: Dimensions
    wire: Wire
    turns: float
    value: float = 0.0

    @property
    def row(self) -> Real:
        """The dimensions in the order of their fields, m, then the turns, (7,)."""
        return np.array([*astuple(self.dimensions), self.turns])


@dataclass(frozen=True, slots=True)
class Grid:
    """The scan's points, m: pitch radii (P,), inner and outer radii (I,) and (O,), widths (W,), heights (H,).

    heights: of all bundles on one side together.
    """

    pitch_radii: Real
    inner_radii: Real
    outer_radii: Real
    widths: Real
    heights: Real


def pitch_limits(brief: Brief, magnet: Magnet) -> tuple[float, float]:
    """Least and largest pitch radius that walls to bore and rim leave, m; least above largest when none does."""
    space = brief.space
    return magnet.pitch_limits(space.bore_radius + space.wall, space.outer_radius - space.wall)


def closest_pitch_radius(brief: Brief, magnet: Magnet, count: int) -> float:
    """Pitch radius at which `count` pockets stand a wall apart, m."""
    return magnet.closest_pitch_radius(count, brief.space.wall)


def magnet_counts(brief: Brief, stock: StockMagnet) -> list[int]:
    """Even magnet counts that the stock and the carrier allow."""
    low, high = pitch_limits(brief, stock.magnet)
    if low > high + 1e-9:
        return []
    counts = np.arange(2, MOST_MAGNETS + 1, 2)
    if stock.quantity is not None:
        counts = counts[counts <= stock.quantity // brief.carriers]
    return counts[stock.magnet.beside(high, counts) >= brief.space.wall - 1e-12].tolist()


def families_of(brief: Brief, magnet: Magnet, count: int) -> Iterator[Family]:
    """The families of one magnet and one count."""
    sides = 2 if brief.arrangement == "two-sided" else 1
    for name in brief.topologies:
        topology = TOPOLOGIES[name]
        for phases in brief.phases:
            for coils in topology.coil_counts(count, phases):
                yield Family(magnet, count, topology, phases, coils, sides)


def family_of(layout: Layout) -> Family:
    """The family that a layout belongs to."""
    carrier, winding = layout.carrier, layout.winding
    return Family(carrier.magnet, carrier.count, layout.topology, winding.phases, winding.coils, layout.sides)


def scan_grid(brief: Brief, stock: StockMagnet) -> Grid:
    """The scan's points for one magnet: even in the radii, geometric in the bundle's section."""
    low, high = pitch_limits(brief, stock.magnet)
    closest = [closest_pitch_radius(brief, stock.magnet, count) for count in magnet_counts(brief, stock)]
    pitches = [*np.linspace(low, high, PITCHES), *(radius for radius in closest if low < radius <= high)]
    space = brief.space
    minimum = brief.least_layers * min(wire.overall_diameter for wire in brief.wires)
    edges = np.linspace(space.bore_radius, space.outer_radius, RADII + 1)
    widest = max((space.outer_radius - space.bore_radius) / 2 - brief.peg_radius, minimum)
    return Grid(
        pitch_radii=np.unique(np.round(pitches, 12)),
        inner_radii=edges[:-1],
        outer_radii=edges[1:],
        widths=_steps(minimum, widest, WIDER, WIDTHS),
        heights=_steps(min(minimum, brief.coil_height), brief.coil_height, TALLER, HEIGHTS),
    )


def _steps(low: float, high: float, ratio: float, maximum: int) -> Real:
    """Down from `high` by the same ratio to `low` and with it, so that a lower end takes nothing from the others."""
    ratio = max(ratio, (high / low) ** (1 / (maximum - 1)))
    count = ceil(log(high / low) / log(ratio) - 1e-9)
    return np.unique([low, *(high / ratio ** np.arange(count))])


def candidate_of(layout: Layout) -> Candidate:
    """What a layout is in the search's terms, its value left out."""
    winding = layout.winding
    pitch_radius, sizes = layout.carrier.pitch_radius, (winding.inner_radius, winding.outer_radius)
    section = winding.width, winding.height
    dimensions = Dimensions(pitch_radius, *sizes, *section, winding.peg_radius)
    return Candidate(family_of(layout), dimensions, winding.wire, winding.turns)


def layout_of(brief: Brief, candidate: Candidate) -> Layout:
    """The layout with these choices made."""
    family, dimensions = candidate.family, candidate.dimensions
    return Layout(
        title=brief.title,
        space=brief.space,
        carrier=Carrier(
            magnet=family.magnet,
            count=family.count,
            pitch_radius=family.magnet.placed(dimensions.pitch_radius),
            arrangement=brief.arrangement,
            plate=brief.plate,
        ),
        winding=Winding(
            topology=family.topology.name,
            inner_radius=dimensions.inner_radius,
            outer_radius=dimensions.outer_radius,
            width=dimensions.width,
            height=dimensions.height,
            turns=int(candidate.turns),
            wire=candidate.wire,
            peg_radius=dimensions.peg_radius,
            fill_factor=brief.fill_factor,
            phases=family.phases,
            coils=family.coils,
            stacking="interleaved" if family.pieces > 1 else "layered",
        ),
        air_gap=brief.air_gap,
        speed_rpm=brief.speed_rpm,
    )
