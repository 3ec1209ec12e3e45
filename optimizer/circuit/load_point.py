"""What a load gets at one speed, as plain numbers and waveforms."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.curves.curve import Real
from geometry.machine.speed import rad_s_of


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Waves:
    """One electrical period, (M,) each: angle in rad, EMF, winding current, winding volts, and volts at the load.

    Of three phases: EMF and volts between the first two terminals, and the current of the first.
    """

    angle: Real
    emf: Real
    current: Real
    terminal_volts: Real
    load_volts: Real


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LoadPoint:
    """One load at one speed.

    dc_volts, dc_amps: means at the load (a converter's: at its input); zero for a resistance straight across the
    winding. load_rms: RMS volts of such a resistance, of one of three before three phases. load_watts: what the load
    gets (a converter's: at its output; a battery's internal loss included). shaft_watts: what the shaft brings, always
    load + copper + diode + converter + eddy watts; eddy_watts: lost by eddy currents in the wire, load or not.
    efficiency: load over shaft. current_rms: in one phase of the winding. conducting_share: of the period. starts:
    whether the load works at all; full: whether a converter gives all it can (any other load: the same as `starts`).
    """

    speed_rpm: float
    frequency_Hz: float
    dc_volts: float
    dc_amps: float
    load_watts: float
    shaft_watts: float
    copper_watts: float
    diode_watts: float
    converter_watts: float
    eddy_watts: float
    efficiency: float
    current_rms: float
    conducting_share: float
    waves: Waves
    starts: bool
    full: bool
    load_rms: float = 0.0

    @property
    def torque(self) -> float:
        """Mean torque that the shaft must bring for it, N·m."""
        return self.shaft_watts / rad_s_of(self.speed_rpm) if self.speed_rpm else 0.0
