"""A small brushed motor as found, and what its armature gives as a generator: coil waves, commutator, star and delta.

The motor has two poles of magnet and an odd number of coils, usually three, each on a tooth (or over as many teeth as
come nearest to half a turn), joined in a ring with a commutator segment at every joint: a simplex lap winding, which
two brushes split into two paths in parallel, one of (n − 1)/2 coils and one of (n + 1)/2. Assumed: equal coils, brushes
of no width on the neutral axis, iron that does not saturate, speed that does not sag.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi, radians, sqrt

import numpy as np

from geometry.curves.curve import Real
from geometry.stock.wire import CONDUCTIVITY, DENSITY

POLE_PAIRS = 1
HIGHEST_ORDER = 31
EDGE = radians(30)  # over which the field turns up beyond a magnet's edge, electrical; common size, no source

# how the armature is tapped, in words
OUTPUTS: Mapping[str, str] = {
    "commutator": "direct current through commutator and brushes",
    "star": "alternating current between two of three lines, coils joined in star",
    "delta": "alternating current between two of three lines, coils joined in delta",
    "star-bridge": "direct current from three lines through six diodes, coils joined in star",
    "delta-bridge": "direct current from three lines through six diodes, coils joined in delta",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Motor:
    """What was measured on a motor, in SI; one coil of the armature unless said otherwise.

    coils: of the armature, odd, at least 3. turns: of a coil, counted or reckoned. diameter: bare copper, m.
    mean_turn: m. room: section that insulated wire may take of one coil's side, m², summed over circles.
    constant: direct volts between the brushes per rad/s, no load, V·s/rad. brush_resistance: of brushes and leads
    beyond the winding, Ω. magnet_arc: of one pole, electrical rad. inductance: between the brushes, H, or None.
    idle_torque: lost to brushes, bearings and iron, N·m, or None. mass: kg, or None. reckoned: which of "turns",
    "mean_turn", "resistance" followed from the others. Raises ValueError for a value out of range.
    """

    title: str
    coils: int = 3
    turns: float
    diameter: float
    mean_turn: float
    room: float
    constant: float
    brush_resistance: float = 0.0
    magnet_arc: float = radians(140)
    inductance: float | None = None
    idle_torque: float | None = None
    mass: float | None = None
    reckoned: str = "resistance"

    def __post_init__(self) -> None:
        if self.coils < 3 or self.coils % 2 == 0:
            raise ValueError(f"coils must be an odd number of at least 3, was {self.coils}")
        for name in ("turns", "diameter", "mean_turn", "room", "constant", "magnet_arc"):
            if not (value := getattr(self, name)) > 0:
                raise ValueError(f"{name} must be above zero, was {value:g}")
        if not self.brush_resistance >= 0:
            raise ValueError(f"brush_resistance must be zero or more, was {self.brush_resistance:g}")

    @property
    def copper_area(self) -> float:
        """Bare section of the wire as found, m²."""
        return pi / 4 * self.diameter**2

    @property
    def coil_resistance(self) -> float:
        """Of one coil as found at 20 °C, Ω."""
        return self.turns * self.mean_turn / (CONDUCTIVITY * self.copper_area)

    @property
    def copper_mass(self) -> float:
        """Of all coils as found, kg."""
        return self.coils * self.turns * self.mean_turn * self.copper_area * DENSITY


def brush_share(coils: int) -> float:
    """Ratio of the resistance (Ω) between the brushes to that of one coil: (n² − 1)/(4n), 2/3 for three coils.

    The two paths of (n − 1)/2 and (n + 1)/2 coils in parallel.
    """
    return (coils**2 - 1) / (4 * coils)


def coil_wave(coils: int, magnet_arc: float) -> tuple[Real, Real]:
    """Orders (K,) and amplitudes (K,) of a coil's EMF, the fundamental's being 1.

    The field is a trapezoid: flat over `magnet_arc` (electrical rad) less its edges of 30°, which lie across the
    magnet's ends. A coil over s teeth of n takes order k by sin(k π s/n): orders that n divides vanish, since the
    fluxes of all teeth add up to nothing. Three coils: no third harmonic, nor its multiples.
    """
    orders = np.array([k for k in range(1, HIGHEST_ORDER + 1, 2) if k % coils], float)
    span = max(coils // 2, 1)
    # np.sinc(x) is sin(πx)/(πx)
    field = np.sin(orders * magnet_arc / 2) / orders * np.sinc(orders * EDGE / (2 * pi))
    wave = field * np.sin(orders * pi * span / coils)
    return orders, wave / wave[0]


def brush_mean(coils: int, orders: Real, wave: Real) -> float:
    """Mean volts between the brushes of a ring of coils whose EMF is Σ wave[k] sin(k θ), V, (K,).

    Brushes hold (n − 1)/2 coils between them for π/n about their peak. A sine gives n/π of a coil's peak.
    """
    path = (coils - 1) / 2
    chord = wave * np.sin(orders * path * pi / coils) / np.sin(orders * pi / coils)
    window = np.sinc(orders / (2 * coils))
    return float(np.sum(chord * np.sin(orders * pi / 2) * window))


def line_wave(orders: Real, wave: Real, output: str) -> Real:
    """Amplitudes (K,) of the EMF between two lines of three coils, its own zero at angle 0, volts.

    Delta gives one coil's; star gives e_a − e_b, whose orders are √3 times as large, their signs apart.
    """
    if output.startswith("star"):
        return wave * 2 * np.sin(orders * pi / 3) * np.sin(orders * pi / 2)
    return wave


def output_share(coils: int, output: str) -> float:
    """Ratio of an output's resistance to that of one coil: two coils in star, 2/3 in delta, the brushes' two
    paths."""
    if output.startswith("star"):
        return 2.0
    return brush_share(coils)


def rms(amplitudes: Real) -> float:
    """RMS of a wave, V, from its harmonics' amplitudes, V, (K,)."""
    return sqrt(float(np.sum(amplitudes**2)) / 2)
