"""How a hand turns a shaft: crank, cord and drum, twisted bar pushed through a follower, or straight at the rim.

Each mechanism answers for itself; a new one is its class and a row in `MECHANISMS`.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from functools import partial
from math import atan, degrees, inf, pi, radians, tan
from typing import ClassVar

from geometry.files.key_tables import quantity
from geometry.files.schema import keyed, require_keyed

LENGTH = quantity(minimum="0.1", maximum="5000", milli=True)
SHARE = quantity(positive=True, maximum="1", hint="a share, not a percentage")
NEWTONS = quantity(minimum="0", maximum="2000", hint="is the unit newton?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Transmission:
    """What every mechanism comes down to.

    travel_per_radian: of the hand, for the driven shaft, m/rad. efficiency: from hand to shaft, above 0 where it
    turns at all. stroke: m, or None where the hand goes round. free_travel: of each stroke before the clutch
    engages, m. return_force: N, always against the hand. locked: why it cannot turn, or empty.
    """

    travel_per_radian: float
    efficiency: float
    stroke: float | None
    free_travel: float = 0.0
    return_force: float = 0.0
    locked: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mechanism(ABC):
    """What the hand drives, its measures in SI units.

    LABEL: in a list to choose from. BEATS: what the hand does so many times a minute. Raises ValueError for a measure
    that cannot be.
    """

    LABEL: ClassVar[str]
    BEATS: ClassVar[str] = "strokes"

    def __post_init__(self) -> None:
        require_keyed(self)

    @property
    @abstractmethod
    def transmission(self) -> Transmission:
        """What it comes down to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Crank(Mechanism):
    """A handle on an arm; its length in m."""

    LABEL: ClassVar[str] = "a crank"
    BEATS: ClassVar[str] = "turns"
    arm: float = keyed("arm_mm", LENGTH, "from shaft to handle", "Shaft to handle", example="120")

    @property
    def transmission(self) -> Transmission:
        return Transmission(travel_per_radian=self.arm, efficiency=1.0, stroke=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spin(Mechanism):
    """The hand flicks a rim or a spindle and lets go; lengths in m."""

    LABEL: ClassVar[str] = "a flick of the fingers"
    radius: float = keyed(
        "radius_mm", LENGTH, "from shaft to where the hand takes hold", "Shaft to fingers", example="40"
    )
    stroke: float = keyed("stroke_mm", LENGTH, "arc of one flick", "Arc of one flick", example="80")

    @property
    def transmission(self) -> Transmission:
        return Transmission(travel_per_radian=self.radius, efficiency=1.0, stroke=self.stroke)


_return_force = partial(
    keyed, "return_force_N", NEWTONS, "of the spring that brings it back", "Force of the return spring", default=0.0
)
_free_travel = partial(
    keyed, "take_up_deg", quantity(minimum="0", maximum="36000"), "turned before the one-way clutch bites",
    "Idle turn before it drives", default=0.0,
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Cord(Mechanism):
    """A cord pulled off a drum; a spring (N) winds it back, a one-way clutch lets the shaft run on. Lengths in m."""

    LABEL: ClassVar[str] = "a pulled cord on a drum"
    drum_diameter: float = keyed(
        "drum_diameter_mm", LENGTH, "of the drum that the cord is pulled off", example="40", comment=""
    )
    cord_diameter: float = keyed("cord_diameter_mm", LENGTH, "of the cord", default=0.002, example="2", comment="")
    stroke: float = keyed("stroke_mm", LENGTH, "cord pulled at a time", "Cord pulled at a time", example="500")
    efficiency: float = keyed(
        "efficiency", SHARE, "of cord and drum", "Efficiency of cord and drum", default=0.95, example="0.95"
    )
    return_force: float = _return_force()
    free_travel_deg: float = _free_travel()

    @property
    def transmission(self) -> Transmission:
        return _stroked(self, (self.drum_diameter + self.cord_diameter) / 2, self.efficiency)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pump(Mechanism):
    """A twisted bar turned by a slotted follower that the hand pushes along it; only the driving stroke turns it.

    Exactly one of friction_coefficient and friction_angle_deg is given. Lengths in m.
    """

    LABEL: ClassVar[str] = "a handle pushed down a twisted bar"
    lead: float = keyed(
        "lead_mm", LENGTH, "along the twisted bar for one turn of it", "Travel for one turn of the bar", example="40",
        comment="along the bar for one turn of it",
    )  # fmt: skip
    contact_diameter: float = keyed(
        "contact_diameter_mm", LENGTH, "on which bar and slotted follower touch",
        "Where bar and follower touch, diameter", example="12", comment="on which bar and follower touch",
    )  # fmt: skip
    stroke: float = keyed("stroke_mm", LENGTH, "of the handle", "Stroke of the handle", example="250")
    friction_coefficient: float | None = keyed(
        "friction_coefficient", quantity(minimum="0", maximum="5"), "of bar and follower",
        "Friction coefficient of bar and follower", default=None, usual="this or `friction_angle_deg`", example="0.15",
    )  # fmt: skip
    friction_angle_deg: float | None = keyed(
        "friction_angle_deg", quantity(minimum="0", maximum="80"), "of bar and follower", "or its friction angle",
        default=None, usual="this or `friction_coefficient`", unless="friction_coefficient", must=True,
    )  # fmt: skip
    return_force: float = _return_force()
    free_travel_deg: float = _free_travel()

    @property
    def transmission(self) -> Transmission:
        lead, friction = lead_angle(self.lead, self.contact_diameter), self.friction_angle
        locked = "" if lead > friction else self._lock_words(lead, friction)
        return _stroked(self, self.lead / (2 * pi), turning_efficiency(lead, friction), locked)

    @property
    def friction_angle(self) -> float:
        """rad."""
        if self.friction_angle_deg is not None:
            return radians(self.friction_angle_deg)
        return atan(self.friction_coefficient or 0.0)

    def _lock_words(self, lead: float, friction: float) -> str:
        needed = pi * self.contact_diameter * tan(friction) if friction < pi / 2 else inf
        return (
            f"the twisted bar locks itself: its lead angle is {degrees(lead):.3g} degrees and must be above the "
            f"friction angle of {degrees(friction):.3g}; pushing cannot turn it, however hard (with a lead above "
            f"{needed * 1e3:.3g} mm it would)"
        )


MECHANISMS: dict[str, type[Mechanism]] = {
    "crank": Crank,
    "cord": Cord,
    "pump": Pump,
    "spin": Spin,
}  # by the name of their table in a file


def _stroked(mechanism: Cord | Pump, reach: float, efficiency: float, locked: str = "") -> Transmission:
    free_travel = radians(mechanism.free_travel_deg) * reach
    if not locked and free_travel >= mechanism.stroke * (1 - 1e-9):
        locked = (
            f"the clutch never engages: it bites after {mechanism.free_travel_deg:g} degrees, {free_travel * 1e3:.3g} "
            f"mm of the hand's travel, and the whole stroke is {mechanism.stroke * 1e3:.3g} mm"
        )
    return Transmission(
        travel_per_radian=reach,
        efficiency=efficiency,
        stroke=mechanism.stroke,
        free_travel=free_travel,
        return_force=mechanism.return_force,
        locked=locked,
    )


def lead_angle(lead: float, diameter: float) -> float:
    """Lead angle in rad of a thread or twist: tan λ = l/(π d), lead and diameter in m."""
    return atan(lead / (pi * diameter))


def turning_efficiency(lead_angle: float, friction_angle: float) -> float:
    """Share of a push along the bar that comes out as turning: tan(λ − φ)/tan λ, both in rad; zero where the bar
    locks (λ ≤ φ)."""
    turned, unhindered = (thread_torque(1.0, 1.0, lead_angle, angle) for angle in (friction_angle, 0.0))
    return max(turned, 0.0) / unhindered


def thread_torque(force: float, diameter: float, lead_angle: float, friction_angle: float) -> float:
    """Torque in N m with which a push of `force` (N) along a square thread or a twisted bar turns it: F d/2 tan(λ − φ).

    diameter: of the circle of contact, m. Below zero it does not turn by itself: so much must be added to lower the
    load. Friction turns round with the motion, so with −φ in place of φ this is the torque that raises it.
    """
    return force * diameter / 2 * tan(lead_angle - friction_angle)
