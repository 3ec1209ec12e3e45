"""What flows through a load in its periodic steady state, whatever feeds it."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np

from geometry.curves.curve import Real
from optimizer.circuit.load_point import Waves

HALF = 360  # steps of the waveforms over half a period
LARGEST_CAPACITOR = 1e5  # its time constant in radians; what is larger ripples no less visibly
ORDERS_KEPT = 1e-4  # of the largest amplitude; weaker harmonics are left out


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
