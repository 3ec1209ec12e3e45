"""How warm a winding gets: its copper loss through its surface into still or slightly stirred air.

The coefficient h of natural convection and radiation together is 5 to 10 W/(m² K) in still air, 10 to 25 beside a
slowly turning disc (common practice; a textbook's vertical wall at 52 °C above the air comes to 5.7 by convection
alone). The printed estimate takes 10, the band both ends of 5 to 15.
"""

from __future__ import annotations

from dataclasses import dataclass

from geometry.machine.layout import Layout
from geometry.stock.wire import resistance_at
from optimizer.evaluation.copper import resistance, wire_length

COEFFICIENT, COEFFICIENTS = 10.0, (5.0, 15.0)  # W/(m² K)
ROOM = 20.0  # °C of the air
ENAMEL_LIMIT = 155.0  # °C, the least that the trade's common enamels bear (thermal class 155, IEC 60085)
FREE = 0.5  # share of the bundle's circumference that meets the air; the rest lies in the former


@dataclass(frozen=True, slots=True, kw_only=True)
class Warming:
    """Final rise over the air in K: the estimate, and with the best and the worst cooling. surface: m²."""

    rise: float
    minimum: float
    maximum: float
    surface: float


def cooling_surface(layout: Layout) -> float:
    """Surface of all bundles that meets the air, m²."""
    # a turn length is that of every coil of a level together
    length = layout.sides * layout.levels * float(layout.topology.turn_length(layout.envelope))
    return FREE * 2 * (layout.winding.width + layout.winding.height) * length


def warming(layout: Layout, watts: float) -> Warming:
    """The final rise, K, with `watts` (W) lost in the copper all the time."""
    surface = cooling_surface(layout)
    minimum, maximum = (watts / (h * surface) for h in reversed(COEFFICIENTS))
    return Warming(rise=watts / (COEFFICIENT * surface), minimum=minimum, maximum=maximum, surface=surface)


def phase_current(layout: Layout, watts: float, temperature: float) -> float:
    """A rms in each phase with `watts` lost in all copper, at `temperature` in °C."""
    ohms = resistance_at(resistance(layout, wire_length(layout)), temperature)
    return (watts / (layout.phases * ohms)) ** 0.5


def bearable_current(layout: Layout) -> float:
    """RMS current in each phase, A, all the time, at which the copper comes to what its enamel bears."""
    return phase_current(layout, COEFFICIENT * cooling_surface(layout) * (ENAMEL_LIMIT - ROOM), ENAMEL_LIMIT)
