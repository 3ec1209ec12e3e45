"""How a hand turns a shaft: crank, cord and drum, twisted bar pushed through a follower, or straight at the rim."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, degrees, inf, pi, radians, tan
from typing import TypeAlias

from geometry.files.checks import require_not_negative, require_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class Crank:
    """A handle on an arm. arm: shaft to handle, m."""

    arm: float

    def __post_init__(self) -> None:
        require_positive(self, "arm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cord:
    """A cord pulled off a drum; a spring winds it back and a one-way clutch lets the shaft run on.

    drum_diameter, cord_diameter: m. stroke: cord pulled at a time, m. return_force: what the spring pulls with, N.
    take_up_deg: turn of the drum before the clutch bites. efficiency: of cord and drum, at most 1.
    """

    drum_diameter: float
    cord_diameter: float
    stroke: float
    return_force: float = 0.0
    take_up_deg: float = 0.0
    efficiency: float = 0.95

    def __post_init__(self) -> None:
        require_positive(self, "drum_diameter", "cord_diameter", "stroke", "efficiency")
        require_not_negative(self, "return_force", "take_up_deg")
        if self.efficiency > 1:
            raise ValueError(f"efficiency must be at most 1, was {self.efficiency:g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pump:
    """A twisted bar turned by a slotted follower that the hand pushes along it; only the driving stroke turns it.

    lead: along the bar for one turn, m. contact_diameter: of the circle on which bar and follower touch, m.
    stroke: m. Exactly one of friction_coefficient and friction_angle_deg. return_force: of the spring that lifts
    the follower, N. take_up_deg: turn of the bar before the one-way clutch bites.
    """

    lead: float
    contact_diameter: float
    stroke: float
    friction_coefficient: float | None = None
    friction_angle_deg: float | None = None
    return_force: float = 0.0
    take_up_deg: float = 0.0

    def __post_init__(self) -> None:
        require_positive(self, "lead", "contact_diameter", "stroke")
        require_not_negative(self, "return_force", "take_up_deg")
        if (self.friction_coefficient is None) == (self.friction_angle_deg is None):
            raise ValueError("exactly one of friction_coefficient and friction_angle_deg must be given")

    @property
    def lead_angle(self) -> float:
        """rad."""
        return lead_angle(self.lead, self.contact_diameter)

    @property
    def friction_angle(self) -> float:
        """rad."""
        if self.friction_angle_deg is not None:
            return radians(self.friction_angle_deg)
        return atan(self.friction_coefficient or 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spin:
    """The hand flicks a rim or a spindle and lets go. radius: where it takes hold, m. stroke: arc of one flick, m."""

    radius: float
    stroke: float

    def __post_init__(self) -> None:
        require_positive(self, "radius", "stroke")


Mechanism: TypeAlias = Crank | Cord | Pump | Spin


@dataclass(frozen=True, slots=True, kw_only=True)
class Transmission:
    """What every mechanism comes down to.

    travel_per_radian: of the hand, for the driven shaft, m/rad. efficiency: from hand to shaft, above 0 where it
    turns at all. stroke: m, or None where the hand goes round. lost_travel: of each stroke before the clutch
    bites, m. return_force: N, always against the hand. locked: why it cannot turn, or empty.
    """

    travel_per_radian: float
    efficiency: float
    stroke: float | None
    lost_travel: float = 0.0
    return_force: float = 0.0
    locked: str = ""


def transmission_of(mechanism: Mechanism) -> Transmission:
    """The transmission of a mechanism."""
    match mechanism:
        case Crank():
            return Transmission(travel_per_radian=mechanism.arm, efficiency=1.0, stroke=None)
        case Spin():
            return Transmission(travel_per_radian=mechanism.radius, efficiency=1.0, stroke=mechanism.stroke)
        case Cord():
            reach = (mechanism.drum_diameter + mechanism.cord_diameter) / 2
            return _stroked(mechanism, reach, mechanism.efficiency)
        case Pump():
            efficiency = turning_efficiency(mechanism.lead_angle, mechanism.friction_angle)
            return _stroked(mechanism, mechanism.lead / (2 * pi), efficiency, _lock_words(mechanism))


def _stroked(mechanism: Cord | Pump, reach: float, efficiency: float, locked: str = "") -> Transmission:
    lost = radians(mechanism.take_up_deg) * reach
    if not locked and lost >= mechanism.stroke * (1 - 1e-9):
        locked = (
            f"the clutch never engages: it bites after {mechanism.take_up_deg:g} degrees, {lost * 1e3:.3g} mm of the "
            f"hand's travel, and the whole stroke is {mechanism.stroke * 1e3:.3g} mm"
        )
    return Transmission(
        travel_per_radian=reach,
        efficiency=efficiency,
        stroke=mechanism.stroke,
        lost_travel=lost,
        return_force=mechanism.return_force,
        locked=locked,
    )


def _lock_words(pump: Pump) -> str:
    lead, friction = pump.lead_angle, pump.friction_angle
    if lead > friction:
        return ""
    needed = pi * pump.contact_diameter * tan(friction) if friction < pi / 2 else inf
    return (
        f"the twisted bar locks itself: its lead angle is {degrees(lead):.3g} degrees and must be above the friction "
        f"angle of {degrees(friction):.3g}; pushing cannot turn it, however hard (with a lead above "
        f"{needed * 1e3:.3g} mm it would)"
    )


def lead_angle(lead: float, diameter: float) -> float:
    """Lead angle in rad of a thread or twist: tan λ = l/(π d)."""
    return atan(lead / (pi * diameter))


def turning_efficiency(lead_angle: float, friction_angle: float) -> float:
    """Share of a push along the bar that comes out as turning: tan(λ − φ)/tan λ; zero where the bar locks (λ ≤ φ)."""
    turned, unhindered = (thread_torque(1.0, 1.0, lead_angle, angle) for angle in (friction_angle, 0.0))
    return max(turned, 0.0) / unhindered


def thread_torque(force: float, diameter: float, lead_angle: float, friction_angle: float) -> float:
    """Torque in N m with which a push of `force` (N) along a square thread or a twisted bar turns it: F d/2 tan(λ − φ).

    diameter: of the circle of contact, m. Below zero it does not turn by itself: so much must be added to lower the
    load. Friction turns round with the motion, so with −φ in place of φ this is the torque that raises it.
    """
    return force * diameter / 2 * tan(lead_angle - friction_angle)
