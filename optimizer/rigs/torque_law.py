"""What source and load ask of the shaft at any speed, and which volts a run shows for it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.loads import Load
from optimizer.circuit.loads.load import Means
from optimizer.circuit.thevenin import TheveninSource

MIN_SPEED = 1e-12  # rad/s


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
