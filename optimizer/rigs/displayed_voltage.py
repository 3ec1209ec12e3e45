"""Which volts a run shows for each kind of load: those that someone at the load would ask for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.loads import BridgeBattery, Load, OpenCircuit, Resistor, UsbConverter
from optimizer.circuit.thevenin import TheveninSource
from optimizer.rigs.drivetrain import TorqueLaw

LEAST_WATTS = 1e-9  # below it a load gets nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class DisplayedVoltage:
    """A drag whose volts and amperes are those to be shown. meaning: of the volts, in words."""

    torque_law: TorqueLaw
    dc_volts: Callable[[Real], Real]
    dc_amps: Callable[[Real], Real]
    meaning: str

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


def displayed_voltage(source: TheveninSource, load: Load, torque_law: TorqueLaw) -> DisplayedVoltage:
    """The gauge that suits a load."""
    direct = source.kind == "commutated"
    three = source.phases == 3
    terminals = " between two terminals" if three else ""
    resistance = "one of the three resistances" if three else "the resistance"

    def works(speed: Real) -> Real:
        return np.asarray(np.asarray(torque_law.load_watts(speed)) > LEAST_WATTS, np.float64)

    match load:
        case OpenCircuit():
            words = "direct, at no load" if direct else f"RMS, at no load{terminals}"
            return _gauge(torque_law, lambda speed: source.emf_constant * speed, lambda speed: 0.0 * speed, words)
        case Resistor(ohms=ohms):
            words = "direct, across the resistance" if direct else f"RMS, across {resistance}"
            return _gauge(
                torque_law,
                lambda speed: np.sqrt(np.maximum(torque_law.load_watts(speed), 0.0) / source.phases * ohms),
                lambda speed: np.sqrt(np.maximum(torque_law.load_watts(speed), 0.0) / source.phases / ohms),
                words,
            )
        case UsbConverter(output=output):
            return _gauge(
                torque_law,
                lambda speed: output * works(speed),
                lambda speed: torque_law.load_watts(speed) / output,
                "direct, at the converter's output",
            )
        case _:
            words = (
                "direct, while it charges" if isinstance(load, BridgeBattery) else "direct, behind the bridge"
            )
            return _gauge(
                torque_law,
                lambda speed: torque_law.dc_volts(speed) * works(speed),
                lambda speed: torque_law.dc_amps(speed) * works(speed),
                words,
            )


def _gauge(
    torque_law: TorqueLaw, volts: Callable[[Real], Real], amps: Callable[[Real], Real], meaning: str
) -> DisplayedVoltage:
    return DisplayedVoltage(torque_law=torque_law, dc_volts=volts, dc_amps=amps, meaning=meaning)
