"""What flows through a load in its periodic steady state, whatever feeds it, and what the load gets of it."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.speed import rad_s_of

HALF = 360  # steps of the waveforms over half a period
LARGEST_CAPACITOR = 1e5  # its time constant in radians; what is larger ripples no less visibly
ORDERS_KEPT = 1e-4  # of the largest amplitude; weaker harmonics are left out


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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Flow:
    """A circuit's steady state: means over the period.

    mean_current: of the load's |i|, A; mean_square_current: of its i², A²; copper_square: sum over the phases' windings
    of i², A²; volts, volts_square: means of v in V and v² at a capacitor; conduction_ratio: share of the period in
    which current flows. diode_watts: lost in the diodes, W.
    """

    mean_current: float = 0.0
    mean_square_current: float = 0.0
    copper_square: float
    volts: float = 0.0
    volts_square: float = 0.0
    conduction_ratio: float = 0.0
    waves: Waves
    diode_watts: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Smoothing:
    """A capacitor behind a bridge, F, and the resistance across it, Ω."""

    ohms: float
    farads: float


def period() -> Real:
    """Electrical angles (M,) of one period, in rad, both ends included."""
    return np.linspace(0, 2 * pi, 2 * HALF + 1)
