"""The chain from hand to load as one turning mass: torques, powers and acceleration at any speed of the rotor."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from math import inf, pi
from typing import Protocol

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.layout import Layout
from geometry.machine.speed import rad_s_of
from optimizer.circuit.loads import Load
from optimizer.circuit.loads.load import Means
from optimizer.circuit.thevenin import TheveninSource
from optimizer.rigs.mechanisms import Transmission
from optimizer.rigs.operator import EASING, Operator, eased
from optimizer.rigs.rig import BEARINGS, Rig, gear_train

AIR_DENSITY, AIR_VISCOSITY = 1.204, 1.516e-5  # kg/m³ and m²/s (kinematic), at 20 °C and sea level
GRAVITY = 9.80665  # m/s²
MIN_SPEED = 1e-12  # rad/s


@dataclass(frozen=True, slots=True, kw_only=True)
class Rotor:
    """The turning part of a generator. inertia: kg m². mass: kg. radius: of the disc in the air, m; 0 leaves air out.
    burst_speed: rad/s at which its weakest place reaches its strength. idle_torque: N m, of a machine with bearings of
    its own, brushes and iron counted; None turns in the rig's."""

    inertia: float
    mass: float = 0.0
    radius: float = 0.0
    burst_speed: float = inf
    idle_torque: float | None = None


SMALL_ARMATURE = Rotor(
    inertia=2e-6, mass=0.03
)  # of a small brushed motor: 30 g on a radius of 12 mm (estimate)


def rotor_of(layout: Layout) -> Rotor:
    """The printed carrier with its magnets and cover; its burst speed is where the least margin is used up."""
    from geometry.parts.pockets import PrintOptions
    from optimizer.evaluation.retention import carrier_inertia, retention

    held = retention(layout)
    return Rotor(
        inertia=carrier_inertia(layout, PrintOptions()),
        mass=held.carrier_mass,
        radius=layout.space.outer_radius,
        burst_speed=rad_s_of(held.burst_rpm),
    )


def bearing_torque(coefficient: float, load: float, bore: float) -> float:
    """Friction torque in N m: 0.5 μ P d, load P in N, bore d in m.

    Source: SKF, Rolling Bearings (catalogue), estimate of the frictional moment; seals come on top.
    """
    return 0.5 * coefficient * load * bore


def air_torque(radius: float, speed: Real) -> Real:
    """Torque in N m of the air on both faces of a plain disc of `radius` (m) in the open at `speed` (rad/s, any shape).

    ½ C ρ ω² R⁵ with C = 3.87 Re^−1/2 while the flow is smooth and 0.146 Re^−1/5 when it is not, Re = ω R²/ν; the
    larger is taken, which errs high between 5.5e4 and 3e5. Source: Schlichting, Boundary-Layer Theory, the disc
    rotating in fluid at rest (from memory). Pockets, spokes and a close housing come on top: an estimate.
    """
    reynolds = np.maximum(np.abs(speed) * radius**2 / AIR_VISCOSITY, 1e-12)
    coefficient = np.maximum(3.87 * reynolds**-0.5, 0.146 * reynolds**-0.2)
    return 0.5 * coefficient * AIR_DENSITY * speed**2 * radius**5


class TorqueLaw(Protocol):
    """What turns with the shaft; torque times speed is the sum of all powers."""

    def at(self, speed: Real) -> Means:
        """The means at speeds (N,) of the shaft in rad/s."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class DisplayedVoltage:
    """A torque law whose volts and amperes are those that the load, fed by the source, would have shown."""

    source: TheveninSource
    load: Load
    torque_law: TorqueLaw

    def at(self, speed: Real) -> Means:
        """The means at speeds (N,) in rad/s."""
        means = self.torque_law.at(speed)
        volts, amps = self.load.displayed(self.source, speed, means)
        return replace(means, volts=volts, amps=amps)


class NoTorque:
    """A generator that asks nothing of the shaft."""

    def at(self, speed: Real) -> Means:
        """The means at speeds (N,) in rad/s."""
        zero = np.zeros_like(speed)
        return Means(torque=zero, watts=zero, copper=zero, diodes=zero, eddy=zero, volts=zero, amps=zero)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unloaded:
    """A generator with nothing joined to it: what `torque_law` loses in eddy currents still brakes it."""

    torque_law: TorqueLaw

    def at(self, speed: Real) -> Means:
        """The means at speeds (N,) in rad/s."""
        eddy = self.torque_law.at(speed).eddy
        return replace(NoTorque().at(speed), torque=eddy / np.maximum(speed, MIN_SPEED), eddy=eddy)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shaft:
    """A turning mass with what brakes it. inertia: kg m²; rubbing: constant torque, N m; radius: in the air, m."""

    inertia: float
    rubbing: float
    radius: float

    def braking(self, speed: Real) -> Real:
        """Torque in N m, (N,), at `speed` (N,) in rad/s."""
        return self.rubbing + (air_torque(self.radius, speed) if self.radius else np.zeros_like(speed))


@dataclass(frozen=True, slots=True, kw_only=True)
class Drivetrain:
    """A rig with its generator, ready to move; see `flow`.

    asked_hand_speed: at which the hand keeps the cadence asked for, m/s; pace: from which it eases off, see `pace`.
    power_cap: most that the hand gives while it drives, W. inner, outer: ratio and efficiency of the gears before
    and after the flywheel's shaft. wheel: that shaft, without inertia where no flywheel stands on a shaft of its
    own; rotor: the generator's.
    """

    operator: Operator
    transmission: Transmission
    asked_hand_speed: float
    pace: float
    power_cap: float
    inner: tuple[float, float]
    outer: tuple[float, float]
    wheel: Shaft
    rotor: Shaft
    torque_law: TorqueLaw
    burst_speed: float

    @property
    def travel_per_radian(self) -> float:
        """Of the hand, per radian of the rotor, m/rad."""
        return self.transmission.travel_per_radian / (self.inner[0] * self.outer[0])

    @property
    def ceiling(self) -> float:
        """Fastest that the hand moves, m/s."""
        return hand_ceiling(self.operator, self.pace)

    @property
    def asked_speed(self) -> float:
        """Of the rotor while the hand drives it at the cadence asked for, rad/s."""
        return self.asked_hand_speed / self.travel_per_radian

    @property
    def top_speed(self) -> float:
        """Fastest that the hand can turn the rotor, rad/s."""
        return self.ceiling / self.travel_per_radian

    @property
    def inertia(self) -> float:
        """Of all that turns, as felt on the rotor's shaft, kg m²."""
        return self.rotor.inertia + self.wheel.inertia / self.outer[0] ** 2


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerFlow:
    """Forces (N), speeds (m/s), powers (W), acceleration (rad/s²), volts (V) and amperes (A) of the load at N speeds of
    the rotor, all (N,).

    hand = spring + mechanism + gears + bearings + air + electrical + the rate at which motion is stored.
    electrical = load + copper + diodes + converter + eddy.
    """

    hand_force: Real
    hand_speed: Real
    hand: Real
    spring: Real
    mechanism: Real
    gears: Real
    bearings: Real
    air: Real
    load: Real
    copper: Real
    diodes: Real
    converter: Real
    eddy: Real
    acceleration: Real
    volts: Real
    amps: Real


POWERS = tuple(
    field.name
    for field in fields(PowerFlow)
    if field.name not in ("hand_force", "hand_speed", "acceleration", "volts", "amps")
)


def hand_cadence(rig: Rig, transmission: Transmission) -> float:
    """Speed in m/s at which the hand keeps the rig's cadence."""
    if transmission.stroke is None:
        return 2 * pi * transmission.travel_per_radian / rig.operator.period
    return transmission.stroke / (rig.operator.push_share * rig.operator.period)


def hand_ceiling(operator: Operator, pace: float) -> float:
    """Fastest that the hand moves, m/s: a little above its pace, and never beyond its top speed."""
    return min((1 + EASING) * pace, operator.top_speed)


def top_speed(rig: Rig) -> float:
    """Fastest that the rig's hand can turn the rotor, rad/s: how far a torque law need reach."""
    transmission = rig.mechanism.transmission
    ratio = gear_train(rig.gears)[0]
    return hand_ceiling(rig.operator, hand_cadence(rig, transmission)) * ratio / transmission.travel_per_radian


def drivetrain_of(torque_law: TorqueLaw, rig: Rig, rotor: Rotor) -> Drivetrain:
    """The train of a rig that turns `rotor` against `torque_law`, the hand easing off from its cadence on."""
    transmission = rig.mechanism.transmission
    inner, outer = gear_train(rig.gears[: rig.split]), gear_train(rig.gears[rig.split :])
    wheel, shaft = _shafts(rig, rotor)
    wheel_burst = rig.flywheel.burst_speed if rig.flywheel else inf
    goes_round = transmission.stroke is None
    asked_hand_speed = hand_cadence(rig, transmission)
    return Drivetrain(
        operator=rig.operator,
        transmission=transmission,
        asked_hand_speed=asked_hand_speed,
        pace=asked_hand_speed,
        power_cap=rig.operator.lasting_power / rig.operator.working_share if goes_round else inf,
        inner=inner,
        outer=outer,
        wheel=wheel,
        rotor=shaft,
        torque_law=torque_law,
        burst_speed=min(rotor.burst_speed, wheel_burst * outer[0]),
    )


def _shafts(rig: Rig, rotor: Rotor) -> tuple[Shaft, Shaft]:
    """The flywheel's shaft and the rotor's; where both are one the former is empty, and the air brakes two discs."""
    wheel = rig.flywheel
    inertia, mass = (wheel.inertia, wheel.mass or 0.0) if wheel else (0.0, 0.0)
    radius = (wheel.outer_diameter or 0.0) / 2 if wheel else 0.0
    if rig.split < len(rig.gears):
        return (
            Shaft(inertia=inertia, rubbing=_rubbing(rig, mass), radius=radius),
            Shaft(
                inertia=rotor.inertia,
                rubbing=_rubbing(rig, rotor.mass) if rotor.idle_torque is None else rotor.idle_torque,
                radius=rotor.radius,
            ),
        )
    both = (
        radius**5 + rotor.radius**5
    ) ** 0.2  # as the torques add, but for the weak influence of Reynolds' number
    return (
        Shaft(inertia=0.0, rubbing=0.0, radius=0.0),
        Shaft(
            inertia=inertia + rotor.inertia,
            rubbing=_rubbing(rig, mass + rotor.mass) + (rotor.idle_torque or 0.0),
            radius=both,
        ),
    )


def _rubbing(rig: Rig, mass: float) -> float:
    bearings = rig.bearings
    load = mass * GRAVITY if bearings.load is None else bearings.load
    return bearing_torque(BEARINGS[bearings.kind], load, bearings.bore) + bearings.rubbing


def rubbed(drivetrain: Drivetrain, factor: float) -> Drivetrain:
    """The train with `factor` times the friction of bearings and seals."""
    wheel, rotor = (replace(shaft, rubbing=factor * shaft.rubbing) for shaft in (drivetrain.wheel, drivetrain.rotor))
    return replace(drivetrain, wheel=wheel, rotor=rotor)


def flow(drivetrain: Drivetrain, speed: Real, pushing: bool) -> PowerFlow:
    """Everything at `speed` (N,), rad/s of the rotor, with the hand pushing or off.

    The hand has no mass: while the rotor outruns it, the clutch slips and it moves on at its ceiling.
    """
    force, hand_speed, net = _hand(drivetrain, speed, pushing)
    chain, (ratio, efficiency) = drivetrain.transmission, drivetrain.inner
    given = (
        net * chain.travel_per_radian * chain.efficiency / ratio
    )  # torque on the flywheel's shaft before gear loss
    wheel_speed = speed / drivetrain.outer[0]
    wheel_brake, rotor_brake = drivetrain.wheel.braking(wheel_speed), drivetrain.rotor.braking(speed)
    electrical = drivetrain.torque_law.at(speed)
    acceleration, mesh_loss = _turning(
        drivetrain, given * efficiency - wheel_brake, electrical.torque + rotor_brake, speed
    )
    load, copper, diodes, eddy = electrical.watts, electrical.copper, electrical.diodes, electrical.eddy
    rubbing = drivetrain.wheel.rubbing * wheel_speed + drivetrain.rotor.rubbing * speed
    return PowerFlow(
        hand_force=force,
        hand_speed=hand_speed,
        hand=force * hand_speed,
        spring=(force - net) * hand_speed,
        mechanism=net * hand_speed * (1 - chain.efficiency),
        gears=given * (1 - efficiency) * wheel_speed + mesh_loss,
        bearings=rubbing,
        air=wheel_brake * wheel_speed + rotor_brake * speed - rubbing,
        load=load,
        copper=copper,
        diodes=diodes,
        converter=electrical.torque * speed - load - copper - diodes - eddy,
        eddy=eddy,
        acceleration=acceleration,
        volts=electrical.volts,
        amps=electrical.amps,
    )


def _hand(drivetrain: Drivetrain, speed: Real, pushing: bool) -> tuple[Real, Real, Real]:
    """Force and speed of the hand, and what of the force drives."""
    if not pushing:
        return np.zeros_like(speed), np.zeros_like(speed), np.zeros_like(speed)
    along = speed * drivetrain.travel_per_radian
    wanted = eased(drivetrain.operator, along, drivetrain.pace)
    wanted = np.minimum(wanted, drivetrain.power_cap / np.maximum(along, 1e-12))
    spring = drivetrain.transmission.return_force
    net = np.maximum(wanted - spring, 0.0)
    return net + spring, np.minimum(along, drivetrain.ceiling), net


def _turning(drivetrain: Drivetrain, driving: Real, braking: Real, speed: Real) -> tuple[Real, Real]:
    """Acceleration of the rotor and power lost in the gears between flywheel and rotor, whichever drives the other."""
    ratio, efficiency = drivetrain.outer
    inertia, wheel = drivetrain.rotor.inertia, drivetrain.wheel.inertia
    forward = (efficiency * driving / ratio - braking) / (inertia + efficiency * wheel / ratio**2)
    backward = (driving / (efficiency * ratio) - braking) / (inertia + wheel / (efficiency * ratio**2))
    through = driving - wheel * forward / ratio  # torque that enters the gears from the flywheel's side
    acceleration = np.where(through >= 0, forward, backward)
    through = driving - wheel * acceleration / ratio
    loss = np.where(through >= 0, 1 - efficiency, 1 - 1 / efficiency) * through * speed / ratio
    return acceleration, loss
