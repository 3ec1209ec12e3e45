"""Which volts a run shows for each kind of load: those that someone at the load would ask for."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.curves.curve import Real
from optimizer.circuit.loads import Load
from optimizer.circuit.loads.load import Means
from optimizer.circuit.thevenin import TheveninSource
from optimizer.rigs.drivetrain import TorqueLaw


@dataclass(frozen=True, slots=True, kw_only=True)
class DisplayedVoltage:
    """A drag whose volts and amperes are those that the load, fed by the source, would have shown."""

    source: TheveninSource
    load: Load
    torque_law: TorqueLaw

    def torque(self, speed: Real) -> Real:
        """N·m."""
        return self.torque_law.torque(speed)

    def load_watts(self, speed: Real) -> Real:
        """W."""
        return self.torque_law.load_watts(speed)

    def copper_watts(self, speed: Real) -> Real:
        """W."""
        return self.torque_law.copper_watts(speed)

    def diode_watts(self, speed: Real) -> Real:
        """W."""
        return self.torque_law.diode_watts(speed)

    def eddy_watts(self, speed: Real) -> Real:
        """W."""
        return self.torque_law.eddy_watts(speed)

    def dc_volts(self, speed: Real) -> Real:
        """V."""
        return self._displayed(speed)[0]

    def dc_amps(self, speed: Real) -> Real:
        """A."""
        return self._displayed(speed)[1]

    def _displayed(self, speed: Real) -> tuple[Real, Real]:
        torque_law = self.torque_law
        means = Means(
            watts=torque_law.load_watts(speed), volts=torque_law.dc_volts(speed), amps=torque_law.dc_amps(speed)
        )
        return self.load.displayed(self.source, speed, means)
