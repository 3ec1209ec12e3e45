"""One machine: every number needed to build and to evaluate it, and nothing that follows from them."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from geometry.coils.bundle import Envelope
from geometry.coils.series_order import SeriesOrder, series_order
from geometry.coils.topology import TOPOLOGIES, Topology
from geometry.files.key_tables import choice, quantity, whole
from geometry.files.schema import keyed, require_keyed
from geometry.machine.speed import rad_s_of
from geometry.stock.magnet import Magnet
from geometry.stock.wire import Wire

ARRANGEMENTS = ("single", "facing", "two-sided")
"""One carrier and one coil; two carriers, unlike poles facing, the coil between; one carrier between two coils."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Equal magnets and images on one axis, poles alike along the shaft.

    middles: heights of their middles above the lower carrier's magnet faces, m. polarizations: of each, T.
    """

    middles: tuple[float, ...]
    polarizations: tuple[float, ...]


def magnet_stack(
    magnet: Magnet, arrangement: str, *, images: float, clear: float, reach: float, lower: bool = False
) -> Stack:
    """The magnets and images that make the field above the lower carrier's faces (z = 0).

    An infinitely permeable plate behind the magnets acts like their mirror image in its face. Between two plates the
    images have images; the series is cut where the next term would lie beyond `reach`.

    images: share of what a steel plate's images add, from 0 (no plate) to 1 (one that carries all the flux); clear:
    distance between facing magnet faces, m (used when carriers face each other); reach: how far along the shaft images
    still matter, m. lower: only the magnets of the lower carrier, with their images in the plates of both.
    """
    thickness, own, mirrored = magnet.thickness, [-magnet.thickness / 2], [-1.5 * magnet.thickness]
    if arrangement == "facing":
        mirrored = _facing_images(thickness, clear, reach, lower=lower)
        own += [] if lower else [clear + thickness / 2]
    if images <= 0:
        mirrored = []
    polarization = magnet.effective_polarization(backed=images)
    weakened = images * magnet.effective_polarization(backed=1.0)
    return Stack(
        middles=(*own, *mirrored),
        polarizations=(polarization,) * len(own) + (weakened,) * len(mirrored),
    )


def _facing_images(thickness: float, clear: float, reach: float, *, lower: bool) -> list[float]:
    """Middles of the images in two plates, m: they repeat with a period."""
    period = 2 * (clear + 2 * thickness)
    cells = range(-ceil(reach / period), ceil(reach / period) + 1)
    cell = [-thickness / 2, -1.5 * thickness]
    if not lower:
        cell += [clear + thickness / 2, clear + 1.5 * thickness]
    return [at + period * n for n in cells for at in cell if n or at not in cell[::2]]


LARGEST = 2.0  # m; a hand-driven machine of more is a slip of the unit


STACKINGS = ("layered", "interleaved")
CONNECTIONS = ("star", "delta")

SIZE = quantity(minimum="0.1", maximum="2000", milli=True)
WALL = quantity(minimum="0", maximum="200", milli=True)
PLATE = quantity(minimum="0", maximum="50", milli=True)
HEIGHT = quantity(minimum="0.1", maximum="500", milli=True)
PEG = quantity(minimum="0.1", maximum="200", milli=True, halved=True)
FILL_FACTOR = quantity(positive=True, maximum="0.9", hint="a share, not a percentage")
PHASES = whole(minimum=1, maximum=3)
AIR_GAP = quantity(minimum="0.1", maximum="50", milli=True)
SPEED = quantity(minimum="1", maximum="20000")


@dataclass(frozen=True, slots=True, kw_only=True)
class Space:
    """The annulus that carrier and winding share.

    outer_diameter: m, above the bore, at most 2 m. bore_diameter: m, kept clear for shaft and bearing.
    wall: least material around a magnet pocket, m.
    """

    outer_diameter: float = keyed(
        "outer_diameter_mm", SIZE, "largest diameter of disc and winding",
        comment="of the carrier disc; the winding stays within",
    )  # fmt: skip
    bore_diameter: float = keyed("bore_diameter_mm", SIZE, "kept clear for shaft and bearing")
    wall: float = keyed("wall_mm", WALL, "least material around each magnet pocket", "Wall around magnets")

    def __post_init__(self) -> None:
        require_keyed(self)
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
    count: int = keyed(
        "count", whole(minimum=2, maximum=1000, even=True), "magnets, north and south in turn", "Number of magnets"
    )
    pitch_radius: float = keyed("pitch_radius_mm", SIZE, "from the shaft to the middle of each magnet")
    arrangement: str = keyed(
        "arrangement", choice(ARRANGEMENTS),
        'one carrier, two with the coil between (`"facing"`), or one with a coil on each side',
        default="single", comment="single, facing or two-sided",
    )  # fmt: skip
    plate: float = keyed(
        "plate_mm", PLATE,
        "steel behind the magnets; every volt is the one to expect of it, thin or thick; 0 for none", "Steel plate",
        default=0.0, comment="steel behind the magnets",
    )  # fmt: skip

    def __post_init__(self) -> None:
        if self.count < 2 or self.count % 2:
            raise ValueError(f"magnet count must be even and at least 2, was {self.count}")
        require_keyed(self)
        if abs(self.magnet.placed(self.pitch_radius) - self.pitch_radius) > 1e-9:
            own = self.magnet.placed(self.pitch_radius)
            raise ValueError(
                f"pitch_radius must be midway between the arcs' radii ({own:g}), was {self.pitch_radius:g}"
            )
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

    topology: str = keyed(
        "topology", choice(TOPOLOGIES), "shape of the coils", "Coil shape", comment=f"one of {', '.join(TOPOLOGIES)}"
    )
    inner_radius: float = keyed(
        "inner_radius_mm", SIZE, "from the shaft to the bundle's nearest insulation",
        comment="from the shaft to the innermost insulation",
    )  # fmt: skip
    outer_radius: float = keyed(
        "outer_radius_mm", SIZE, "from the shaft to the bundle's farthest insulation",
        comment="from the shaft to the outermost insulation",
    )  # fmt: skip
    width: float = keyed(
        "width_mm", SIZE, "of the bundle's section, seen along the shaft", "Bundle width",
        comment="of the bundle, seen along the shaft",
    )  # fmt: skip
    height: float = keyed(
        "height_mm", HEIGHT, "of the bundle's section, along the shaft", "Bundle height",
        comment="of the bundle, along the shaft",
    )  # fmt: skip
    turns: int = keyed(
        "turns", whole(minimum=1, maximum=100_000), "of each coil", "Turns per coil", comment="in each coil"
    )
    wire: Wire
    peg_radius: float = keyed(
        "peg_diameter_mm", PEG, "least diameter of the corners of the winding former",
        comment="least corner of the winding former",
    )  # fmt: skip
    fill_factor: float = keyed(
        "fill_factor", FILL_FACTOR, "most of the bundle's section that insulated wire may take", "Fill factor, at most",
        comment="most of its section that insulated wire may take",
    )  # fmt: skip
    phases: int = keyed("phases", PHASES, "1 or 3", default=1)
    coils: int | None = keyed(
        "coils", whole(minimum=2, maximum=1000), "around one side, of all phases together; not of a serpentine",
        "Coils, of all phases", default=None, comment="of all phases together, evenly around the shaft",
        usual="as many as magnets",
    )  # fmt: skip
    stacking: str = keyed(
        "stacking", choice(STACKINGS), "of three serpentines: one above another, or in halves A B C C B A",
        "Bundles stacked", default=STACKINGS[0], comment="of a three-phase serpentine's bundles",
    )  # fmt: skip
    connection: str = keyed(
        "connection", choice(CONNECTIONS), "of three phases", default=CONNECTIONS[0], comment="star or delta"
    )

    def __post_init__(self) -> None:
        require_keyed(self)
        if self.outer_radius <= self.inner_radius:
            raise ValueError(
                f"outer_radius must be above inner_radius ({self.inner_radius:g} m), was {self.outer_radius:g} m"
            )
        if self.phases not in (1, 3):
            raise ValueError(f"phases must be one of 1, 3, was {self.phases}")
        if self.coils is not None and not TOPOLOGIES[self.topology].concentrated:
            raise ValueError(f"coils must be left out for a {self.topology} winding, was {self.coils}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A whole machine. air_gap: magnet face to the nearest copper's insulation, covers included, m; speed_rpm > 0."""

    title: str
    space: Space
    carrier: Carrier
    winding: Winding
    air_gap: float = keyed("air_gap_mm", AIR_GAP, "magnet face to insulated copper, any cover included")
    speed_rpm: float = keyed(
        "speed_rpm", SPEED, "of the magnets past the coil", comment="turns of the disc in a minute"
    )

    def __post_init__(self) -> None:
        require_keyed(self)
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
