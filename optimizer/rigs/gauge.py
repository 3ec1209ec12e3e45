"""Which volts a run shows for each kind of load: those that someone at the load would ask for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.loads import BridgeBattery, Load, OpenCircuit, Resistor, UsbConverter
from optimizer.circuit.thevenin import Source
from optimizer.rigs.drivetrain import Drag

LEAST_WATTS = 1e-9  # below it a load gets nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """A drag whose volts and amperes are those to be shown. meaning: of the volts, in words."""

    drag: Drag
    dc_volts: Callable[[Real], Real]
    dc_amps: Callable[[Real], Real]
    meaning: str

    def torque(self, speed: Real) -> Real:
        """N·m."""
        return self.drag.torque(speed)

    def load_watts(self, speed: Real) -> Real:
        """W."""
        return self.drag.load_watts(speed)

    def copper_watts(self, speed: Real) -> Real:
        """W."""
        return self.drag.copper_watts(speed)

    def diode_watts(self, speed: Real) -> Real:
        """W."""
        return self.drag.diode_watts(speed)

    def eddy_watts(self, speed: Real) -> Real:
        """W."""
        return self.drag.eddy_watts(speed)


def gauge_of(source: Source, load: Load, drag: Drag) -> Gauge:
    """The gauge that suits a load."""
    direct = source.kind == "commutated"
    three = source.phases == 3
    terminals = " between two terminals" if three else ""
    resistance = "one of the three resistances" if three else "the resistance"

    def works(speed: Real) -> Real:
        return np.asarray(np.asarray(drag.load_watts(speed)) > LEAST_WATTS, np.float64)

    match load:
        case OpenCircuit():
            words = "direct, at no load" if direct else f"RMS, at no load{terminals}"
            return _gauge(drag, lambda speed: source.emf_constant * speed, lambda speed: 0.0 * speed, words)
        case Resistor(ohms=ohms):
            words = "direct, across the resistance" if direct else f"RMS, across {resistance}"
            return _gauge(
                drag,
                lambda speed: np.sqrt(np.maximum(drag.load_watts(speed), 0.0) / source.phases * ohms),
                lambda speed: np.sqrt(np.maximum(drag.load_watts(speed), 0.0) / source.phases / ohms),
                words,
            )
        case UsbConverter(output=output):
            return _gauge(
                drag,
                lambda speed: output * works(speed),
                lambda speed: drag.load_watts(speed) / output,
                "direct, at the converter's output",
            )
        case _:
            words = (
                "direct, while it charges" if isinstance(load, BridgeBattery) else "direct, behind the bridge"
            )
            return _gauge(
                drag,
                lambda speed: drag.dc_volts(speed) * works(speed),
                lambda speed: drag.dc_amps(speed) * works(speed),
                words,
            )


def _gauge(drag: Drag, volts: Callable[[Real], Real], amps: Callable[[Real], Real], meaning: str) -> Gauge:
    return Gauge(drag=drag, dc_volts=volts, dc_amps=amps, meaning=meaning)
