"""What turns on the generator's shaft by itself, and what holds it back: inertia, bearings, air."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.layout import Layout
from geometry.machine.speed import rad_s_of

AIR_DENSITY, AIR_VISCOSITY = 1.204, 1.516e-5  # kg/m³ and m²/s (kinematic), at 20 °C and sea level
GRAVITY = 9.80665  # m/s²


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
    from geometry.parts.solids import PrintOptions
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
