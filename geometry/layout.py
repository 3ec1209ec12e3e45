"""One machine: every number needed to build and to evaluate it, and nothing that follows from them."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from geometry.envelope import Envelope
from geometry.magnet import DiscMagnet
from geometry.topology import TOPOLOGIES, Topology
from geometry.wire import Wire

LARGEST = 2.0  # m; a hand-driven machine of more is a slip of the unit


def _positive(owner: object, *names: str) -> None:
    for name in names:
        value = getattr(owner, name)
        if not (isfinite(value) and value > 0):
            raise ValueError(f"{name} must be above zero, was {value:g}")


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
        _positive(self, "outer_diameter", "bore_diameter")
        if not (isfinite(self.wall) and self.wall >= 0):
            raise ValueError(f"wall must not be below zero, was {self.wall:g}")
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
    pitch_radius: m.
    """

    magnet: DiscMagnet
    count: int
    pitch_radius: float

    def __post_init__(self) -> None:
        if self.count < 2 or self.count % 2:
            raise ValueError(f"magnet count must be even and at least 2, was {self.count}")
        _positive(self, "pitch_radius")

    @property
    def pole_pairs(self) -> int:
        """Half the magnet count."""
        return self.count // 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Winding:
    """The coils of a phase, all alike and in series.

    topology: "serpentine", "wedge" or "round". inner_radius, outer_radius: extreme radii, insulation included, m.
    width, height: of the bundle, across and along the shaft, m. turns: per coil, at least 1.
    peg_radius: least radius of the former's corners, m. fill_factor: most that insulated wire may take of the
    bundle's section, above 0 and at most 0.9.
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

    def __post_init__(self) -> None:
        _positive(
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
        _positive(self, "air_gap", "speed_rpm")

    @property
    def topology(self) -> Topology:
        """The coil shape's rules."""
        return TOPOLOGIES[self.winding.topology]

    @property
    def phases(self) -> int:
        """Number of phases."""
        return 1

    @property
    def coils(self) -> int:
        """Number of coils, all phases together."""
        return self.topology.coils(self.carrier.count)

    @property
    def envelope(self) -> Envelope:
        """What the coils are laid out in: one sector per magnet."""
        return Envelope(
            inner_radius=self.winding.inner_radius,
            outer_radius=self.winding.outer_radius,
            width=self.winding.width,
            sectors=self.carrier.count,
            peg_radius=self.winding.peg_radius,
        )

    def _repr_svg_(self) -> str:
        from geometry.drawing import draw_layout
        from geometry.svg import svg_text

        return svg_text(draw_layout(self))
