"""One machine: every number needed to build and to evaluate it, and nothing that follows from them."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.coils.envelope import Envelope
from geometry.coils.series_order import SeriesOrder, series_order
from geometry.coils.topology import TOPOLOGIES, Topology
from geometry.files.checks import require_not_negative, require_positive
from geometry.machine.arrangement import ARRANGEMENTS, Stack, magnet_stack
from geometry.machine.speed import rad_s_of
from geometry.stock.magnet import Magnet
from geometry.stock.wire import Wire

LARGEST = 2.0  # m; a hand-driven machine of more is a slip of the unit


STACKINGS = ("layered", "interleaved")
CONNECTIONS = ("star", "delta")


def _one_of(owner: object, name: str, choices: tuple[object, ...]) -> None:
    value = getattr(owner, name)
    if value not in choices:
        raise ValueError(f"{name} must be one of {', '.join(map(str, choices))}, was {value}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Space:
    """The annulus that carrier and winding share.

    outer_diameter: m, above the bore, at most 2 m. bore_diameter: m, kept clear for shaft and bearing.
    wall: least material around a magnet pocket, m.
    """

    outer_diameter: float
    bore_diameter: float
    wall: float

    def __post_init__(self) -> None:
        require_positive(self, "outer_diameter", "bore_diameter")
        require_not_negative(self, "wall")
        if not self.bore_diameter < self.outer_diameter <= LARGEST:
            raise ValueError(
                f"outer_diameter must be above bore_diameter ({self.bore_diameter:g} m) and at most {LARGEST:g} m, "
                f"was {self.outer_diameter:g} m"
            )

    @property
    def outer_radius(self) -> float:
        """m."""
        return self.outer_diameter / 2

    @property
    def bore_radius(self) -> float:
        """m."""
        return self.bore_diameter / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Carrier:
    """A disc that holds `count` equal magnets, poles alternating, on one pitch circle.

    count: even, at least 2; magnet 0 lies on the x axis with its north face toward the coil (polarity +1).
    pitch_radius: m; arcs have only their own. arrangement: "single", "facing" (a second carrier, unlike poles facing,
    the coil between) or "two-sided" (a coil on each side of this one carrier). plate: thickness of steel behind the
    magnets, m; 0 for none.
    """

    magnet: Magnet
    count: int
    pitch_radius: float
    arrangement: str = "single"
    plate: float = 0.0

    def __post_init__(self) -> None:
        if self.count < 2 or self.count % 2:
            raise ValueError(f"magnet count must be even and at least 2, was {self.count}")
        require_positive(self, "pitch_radius")
        if abs(self.magnet.placed(self.pitch_radius) - self.pitch_radius) > 1e-9:
            own = self.magnet.placed(self.pitch_radius)
            raise ValueError(
                f"pitch_radius must be midway between the arcs' radii ({own:g}), was {self.pitch_radius:g}"
            )
        _one_of(self, "arrangement", ARRANGEMENTS)
        require_not_negative(self, "plate")
        if self.plate and self.arrangement == "two-sided":
            raise ValueError(f"plate must be 0 with a coil on each side of the carrier, was {self.plate:g}")

    @property
    def pole_pairs(self) -> int:
        """Half the magnet count."""
        return self.count // 2

    @property
    def carriers(self) -> int:
        """Number of carrier discs."""
        return 2 if self.arrangement == "facing" else 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Winding:
    """The coils of a phase, all alike and in series.

    topology: "serpentine", "wedge" or "round". inner_radius, outer_radius: extreme radii, insulation included, m.
    width, height: of the bundle, across and along the shaft, m. turns: per coil, at least 1.
    peg_radius: least radius of the former's corners, m. fill_factor: most that insulated wire may take of the
    bundle's section, above 0 and at most 0.9.
    phases: 1 or 3. coils: of all phases together, evenly around the shaft; None for one per magnet, and always None for
    a serpentine. stacking: of a three-phase serpentine's bundles, "layered" (one above the other) or "interleaved"
    (each split in halves, stacked A B C C B A, so that all lie equally high). connection: "star" or "delta".
    """

    topology: str
    inner_radius: float
    outer_radius: float
    width: float
    height: float
    turns: int
    wire: Wire
    peg_radius: float
    fill_factor: float
    phases: int = 1
    coils: int | None = None
    stacking: str = "layered"
    connection: str = "star"

    def __post_init__(self) -> None:
        require_positive(
            self, "inner_radius", "outer_radius", "width", "height", "turns", "peg_radius", "fill_factor"
        )
        if self.topology not in TOPOLOGIES:
            raise ValueError(f"topology must be one of {', '.join(TOPOLOGIES)}, was {self.topology}")
        if self.outer_radius <= self.inner_radius:
            raise ValueError(
                f"outer_radius must be above inner_radius ({self.inner_radius:g} m), was {self.outer_radius:g} m"
            )
        if self.fill_factor > 0.9:
            raise ValueError(f"fill_factor must be at most 0.9, was {self.fill_factor:g}")
        _one_of(self, "phases", (1, 3))
        _one_of(self, "stacking", STACKINGS)
        _one_of(self, "connection", CONNECTIONS)
        if self.coils is not None and not TOPOLOGIES[self.topology].concentrated:
            raise ValueError(f"coils must be left out for a {self.topology} winding, was {self.coils}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A whole machine. air_gap: magnet face to the nearest copper's insulation, covers included, m; speed_rpm > 0."""

    title: str
    space: Space
    carrier: Carrier
    winding: Winding
    air_gap: float
    speed_rpm: float

    def __post_init__(self) -> None:
        require_positive(self, "air_gap", "speed_rpm")
        _ = self.order  # coils and poles that cannot be connected are refused

    @property
    def angular_speed(self) -> float:
        """Of the turning carrier or carriers, rad/s."""
        return rad_s_of(self.speed_rpm)

    @property
    def topology(self) -> Topology:
        """The coil shape's rules."""
        return TOPOLOGIES[self.winding.topology]

    @property
    def phases(self) -> int:
        """Number of phases."""
        return self.winding.phases

    @property
    def sectors(self) -> int:
        """Equal sectors that share the circle: one per coil, or one per leg of a serpentine."""
        return self.winding.coils or self.carrier.count

    @property
    def sides(self) -> int:
        """Sides of the carrier that have coils."""
        return 2 if self.carrier.arrangement == "two-sided" else 1

    @property
    def coils(self) -> int:
        """Number of coils, all phases and sides together."""
        return self.topology.coils(self.sectors) * self.levels * self.sides

    @property
    def order(self) -> SeriesOrder:
        """Axes, senses and series order of the coils."""
        return series_order(self.topology, self.sectors, self.carrier.count, self.phases, self.sides)

    @property
    def levels(self) -> int:
        """Levels of coils on one side, one above the other: one for each phase of a serpentine, else one."""
        return self.topology.levels(self.phases)

    @property
    def phases_per_level(self) -> int:
        """Phases whose coils lie side by side."""
        return self.phases // self.levels

    @property
    def stacked(self) -> bool:
        """Whether bundles of several phases lie one above the other."""
        return self.levels > 1

    @property
    def layers(self) -> tuple[int, ...]:
        """The level (of stacked bundles also the phase) of each bundle or half bundle, from the magnets up."""
        order = tuple(range(self.levels))
        return (*order, *reversed(order)) if self.stacked and self.winding.stacking == "interleaved" else order

    @property
    def pieces(self) -> int:
        """Pieces that each bundle is wound in, one above the other: two halves of interleaved phases, else one."""
        return len(self.layers) // self.levels

    @property
    def piece_turns(self) -> tuple[int, ...]:
        """Turns of each piece of a bundle, the lower one first; the smaller half may have none."""
        turns = self.winding.turns
        return (turns,) if self.pieces == 1 else ((turns + 1) // 2, turns // 2)

    def layers_of(self, phase: int) -> tuple[int, ...]:
        """Which layers of a stack are a phase's, counted from 1 at the magnets up; none where nothing is stacked."""
        layers = self.layers if self.stacked else ()
        return tuple(number for number, other in enumerate(layers, start=1) if other == phase)

    @property
    def stack_height(self) -> float:
        """Height of all bundles on one side together, m."""
        return self.winding.height * self.levels

    @property
    def clear(self) -> float:
        """Distance between the magnet faces of carriers that face each other, m."""
        return 2 * self.air_gap + self.stack_height

    def stack(self, images: float, *, lower: bool = False) -> Stack:
        """The magnets and images that make the field.

        images: share of the steel plates' images that is there; lower: those of the first carrier alone.
        """
        carrier = self.carrier
        return magnet_stack(
            carrier.magnet,
            carrier.arrangement,
            images=images if carrier.plate else 0.0,
            clear=self.clear,
            reach=3 * (carrier.pitch_radius + self.winding.outer_radius) / carrier.pole_pairs,
            lower=lower,
        )

    @property
    def envelope(self) -> Envelope:
        """What the coils are laid out in."""
        return Envelope(
            inner_radius=self.winding.inner_radius,
            outer_radius=self.winding.outer_radius,
            width=self.winding.width,
            sectors=self.sectors,
            peg_radius=self.winding.peg_radius,
        )
