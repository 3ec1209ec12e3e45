"""Enamelled round copper wire: overall diameters and resistance from the wire standard.

Source: IEC 60317-0-1, table 1 (overall diameters) and its resistance table, whose nominal column is
(1/58.5 Ω mm²/m) / (π d²/4) to every printed digit. Grade 3 is left out: it is rare in a workshop. Between the
table's sizes the enamel is that of the next larger one, as the standard has it for its intermediate sizes.
American gauges: ASTM B258, whose nominal diameters follow one rule (from memory; its tables are in the tests).
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, replace
from math import pi

CONDUCTIVITY = 58.5e6  # S/m at 20 °C, nominal of IEC 60317-0-1
DENSITY = 8890.0  # kg/m³, annealed copper at 20 °C (IEC 60028; from memory)
ENAMEL_DENSITY = 1400.0  # kg/m³, polyurethane and polyester enamels; common value, from memory
TEMPERATURE_COEFFICIENT = 0.00393  # 1/K at 20 °C, IEC 60028 and IEC 60287-1-1 table 1

LEAST_MM, MOST_MM = 0.02, 3.0  # bare copper: what an old winding may hold, and what a hand still bends

# bare diameter: (smallest increase grade 1, grade 2, largest overall grade 1, grade 2), all mm; below 0.100, at 1.400,
# 1.800 and from 2.240 up from memory
ENAMELLED_WIRE_MM: dict[float, tuple[float, float, float, float]] = {
    0.050: (0.005, 0.010, 0.060, 0.066),
    0.056: (0.006, 0.011, 0.067, 0.074),
    0.063: (0.006, 0.012, 0.076, 0.083),
    0.071: (0.007, 0.012, 0.084, 0.091),
    0.080: (0.007, 0.014, 0.094, 0.101),
    0.090: (0.008, 0.015, 0.105, 0.113),
    0.100: (0.008, 0.016, 0.117, 0.125),
    0.112: (0.009, 0.017, 0.130, 0.139),
    0.125: (0.010, 0.019, 0.144, 0.154),
    0.140: (0.011, 0.021, 0.160, 0.171),
    0.160: (0.012, 0.023, 0.182, 0.194),
    0.180: (0.013, 0.025, 0.204, 0.217),
    0.200: (0.014, 0.027, 0.226, 0.239),
    0.224: (0.015, 0.029, 0.252, 0.266),
    0.250: (0.017, 0.032, 0.281, 0.297),
    0.280: (0.018, 0.033, 0.312, 0.329),
    0.315: (0.019, 0.035, 0.349, 0.367),
    0.355: (0.020, 0.038, 0.392, 0.411),
    0.400: (0.021, 0.040, 0.439, 0.459),
    0.450: (0.022, 0.042, 0.491, 0.513),
    0.500: (0.024, 0.045, 0.544, 0.566),
    0.560: (0.025, 0.047, 0.606, 0.630),
    0.630: (0.027, 0.050, 0.679, 0.704),
    0.710: (0.028, 0.053, 0.762, 0.789),
    0.800: (0.030, 0.056, 0.855, 0.884),
    0.900: (0.032, 0.060, 0.959, 0.989),
    1.000: (0.034, 0.063, 1.062, 1.094),
    1.120: (0.034, 0.065, 1.184, 1.217),
    1.250: (0.035, 0.067, 1.316, 1.349),
    1.400: (0.036, 0.069, 1.468, 1.502),
    1.600: (0.038, 0.071, 1.670, 1.706),
    1.800: (0.039, 0.073, 1.872, 1.909),
    2.000: (0.040, 0.075, 2.074, 2.112),
    2.240: (0.041, 0.077, 2.316, 2.355),
    2.500: (0.042, 0.079, 2.578, 2.618),
    2.800: (0.043, 0.081, 2.880, 2.922),
    3.150: (0.045, 0.084, 3.233, 3.276),
}
_SIZES_MM = tuple(ENAMELLED_WIRE_MM)
# what a shop has and a hand winds without a lens or pliers: the sizes to choose from where none is named
USUAL_MM = tuple(size for size in ENAMELLED_WIRE_MM if 0.1 <= size <= 1)

# bare diameters of American gauges, m, to a nanometre: 0.005 in · 92^((36 − n)/39)
AWG: dict[int, float] = {gauge: round(0.127e-3 * 92 ** ((36 - gauge) / 39), 9) for gauge in range(9, 52)}
_GAUGES = {diameter: gauge for gauge, diameter in AWG.items()}

# Tolerance of the bare diameter in mm: from 0.315 to 1 mm the standard's table 1; 0.100 and 0.112 mm follow from its
# resistance table (see `resistance_band`); the others are from memory, above 1 mm its 1 %.
BARE_TOLERANCE_MM: dict[float, float] = {
    0.050: 0.002, 0.056: 0.002, 0.063: 0.002, 0.071: 0.003, 0.080: 0.003, 0.090: 0.003,
    0.100: 0.003, 0.112: 0.003, 0.125: 0.003, 0.140: 0.003, 0.160: 0.003, 0.180: 0.003, 0.200: 0.003, 0.224: 0.003,
    0.250: 0.004, 0.280: 0.004, 0.315: 0.004, 0.355: 0.004, 0.400: 0.005, 0.450: 0.005, 0.500: 0.005, 0.560: 0.006,
    0.630: 0.006, 0.710: 0.007, 0.800: 0.008, 0.900: 0.009, 1.000: 0.010,
    1.120: 0.011, 1.250: 0.013, 1.400: 0.014, 1.600: 0.016, 1.800: 0.018, 2.000: 0.020, 2.240: 0.022, 2.500: 0.025,
    2.800: 0.028, 3.150: 0.032,
}  # fmt: skip
CONDUCTIVITY_BAND = (
    58.0e6,
    59.0e6,
)  # S/m; with the tolerance it gives the standard's resistance limits to 0.1 %


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """Enamelled round copper wire, of a standard size or any between; one that measures an American gauge is one.

    diameter: bare copper, m; from `LEAST_MM` to `MOST_MM`. grade: build of the enamel, 1 or 2. strands: wires laid side
    by side and joined at their ends, which make each turn together; diameters and mass are those of one of them.
    Raises ValueError for another size or grade, or no strand.
    """

    diameter: float
    grade: int = 1
    strands: int = 1

    def __post_init__(self) -> None:
        if not LEAST_MM <= self.diameter_mm <= MOST_MM:
            raise ValueError(
                f"wire diameter must be from {LEAST_MM:g} to {MOST_MM:g} mm, was {self.diameter * 1e3:g} mm"
            )
        if self.grade not in (1, 2):
            raise ValueError(f"enamel grade must be 1 or 2, was {self.grade}")
        if self.strands < 1:
            raise ValueError(f"strands must be at least 1, was {self.strands}")

    @property
    def strand(self) -> Wire:
        """One of the wires that make a turn together."""
        return replace(self, strands=1)

    @property
    def diameter_mm(self) -> float:
        """Nominal bare diameter in mm, to a nanometre."""
        return round(self.diameter * 1e3, 6)

    @property
    def overall_diameter(self) -> float:
        """Largest overall diameter over the enamel, m: what a turn may need in the bundle."""
        size = self.standard_mm
        enamel = ENAMELLED_WIRE_MM[size][1 + self.grade] - size
        return round(self.diameter_mm + enamel, 6) * 1e-3

    @property
    def overall_area(self) -> float:
        """Area of the circles of all strands with their insulation, m²."""
        return pi / 4 * self.overall_diameter**2 * self.strands

    @property
    def copper_area(self) -> float:
        """Bare copper section of all strands, m²."""
        return pi / 4 * self.diameter**2 * self.strands

    @property
    def mass_per_metre(self) -> float:
        """Of copper and enamel of one strand, kg/m."""
        enamel = (self.overall_diameter**2 - self.diameter**2) * pi / 4 * ENAMEL_DENSITY
        return pi / 4 * self.diameter**2 * DENSITY + enamel

    @property
    def resistance_per_metre(self) -> float:
        """Nominal resistance at 20 °C of all strands side by side, Ω/m."""
        return 1 / (CONDUCTIVITY * self.copper_area)

    @property
    def resistance_band(self) -> tuple[float, float]:
        """Smallest and largest resistance at 20 °C that the standard allows, Ω/m."""
        tolerance = BARE_TOLERANCE_MM[self.standard_mm] * 1e-3
        low, high = CONDUCTIVITY_BAND
        thick, thin = (pi / 4 * (self.diameter + side) ** 2 * self.strands for side in (tolerance, -tolerance))
        return 1 / (high * thick), 1 / (low * thin)

    @property
    def gauge(self) -> int | None:
        """The American gauge whose bare diameter this is, no unit; None of other sizes."""
        return _GAUGES.get(self.diameter)

    @property
    def standard_mm(self) -> float:
        """The standard's own size, or else its next larger one, whose enamel and tolerance count; mm."""
        return _SIZES_MM[bisect_left(_SIZES_MM, self.diameter_mm)]


def resistance_at(resistance_20: float, temperature: float) -> float:
    """Resistance at `temperature` in °C of a copper winding that has `resistance_20` at 20 °C."""
    return resistance_20 * (1 + TEMPERATURE_COEFFICIENT * (temperature - 20))
