"""Rigs and brakes that tests start from: closed forms are known for all of them."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.loads.load import Means
from optimizer.rigs.drivetrain import Rotor
from optimizer.rigs.mechanisms import Crank, Mechanism, Pump
from optimizer.rigs.operator import Operator
from optimizer.rigs.rig import Bearings, Flywheel, Rig

SLICK = Bearings(kind="none")
BARE = Rotor(inertia=0.0)  # adds nothing to the flywheel


@dataclass(frozen=True, slots=True, kw_only=True)
class OhmicTorque:
    """A steady EMF of `constant` V·s/rad behind `inner` Ω into `outer` Ω: all powers grow with the speed squared."""

    constant: float = 0.05
    inner: float = 2.0
    outer: float = 8.0

    def at(self, speed: Real) -> Means:
        amps, zero = self.constant * speed / (self.inner + self.outer), np.zeros_like(speed)
        return Means(
            torque=self.constant * amps, watts=self.outer * amps**2, copper=self.inner * amps**2, diodes=zero,
            eddy=zero, volts=self.outer * amps, amps=amps,
        )  # fmt: skip

    @property
    def slope(self) -> float:
        """Torque over speed, N·m·s."""
        return self.constant**2 / (self.inner + self.outer)


PUMP = Pump(lead=0.05, contact_diameter=0.012, stroke=0.2, friction_coefficient=0.12)


def pump_rig(**changes: Any) -> Rig:
    """A pump with a flywheel of 0.008 kg m² on the rotor's shaft and bearings without friction."""
    return Rig(
        **{
            "title": "Pump",
            "mechanism": PUMP,
            "operator": Operator(cadence_per_minute=60),
            "flywheel": Flywheel(inertia_given=0.008),
            "bearings": SLICK,
        }
        | changes
    )


def crank_rig(arm: float = 0.1, cadence: float = 60, **changes: Any) -> Rig:
    """A crank straight on the rotor's shaft."""
    mechanism: Mechanism = Crank(arm=arm)
    operator = Operator(cadence_per_minute=cadence)
    return pump_rig(**{"title": "Crank", "mechanism": mechanism, "operator": operator} | changes)
