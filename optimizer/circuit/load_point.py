"""What a load gets at one speed, as plain numbers and waveforms."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.curves.curve import Real
from geometry.machine.speed import rad_s_of


@dataclass(frozen=True, slots=True, eq=False)
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
    gets (a converter's: at its output; a battery's internal loss included). eddy_watts: lost by eddy currents in the
    wire, load or not. current_rms: in one phase of the winding, A. conducting_share: of the period. full: whether a
    converter gives all it can (any other load: the same as `starts`).
    """

    speed_rpm: float
    frequency_Hz: float
    dc_volts: float
    dc_amps: float
    load_watts: float
    copper_watts: float
    diode_watts: float
    eddy_watts: float
    current_rms: float
    conducting_share: float
    waves: Waves
    full: bool
    converter_watts: float = 0.0
    load_rms: float = 0.0

    @property
    def shaft_watts(self) -> float:
        """What the shaft brings, W."""
        return self.load_watts + self.copper_watts + self.diode_watts + self.converter_watts + self.eddy_watts

    @property
    def efficiency(self) -> float:
        """Load over shaft, a share."""
        return self.load_watts / self.shaft_watts if self.shaft_watts > 0 else 0.0

    @property
    def starts(self) -> bool:
        """Whether the load works at all."""
        return self.load_watts > 0

    @property
    def torque(self) -> float:
        """Mean torque that the shaft must bring for it, N·m."""
        return self.shaft_watts / rad_s_of(self.speed_rpm) if self.speed_rpm else 0.0
