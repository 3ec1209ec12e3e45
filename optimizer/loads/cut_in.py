"""At what speed a load begins to work, and at what speed it gets the watts it needs."""

from __future__ import annotations

from geometry.machine.speed import rpm_of
from optimizer.circuit.loads import Load
from optimizer.circuit.steady import steady_state
from optimizer.circuit.thevenin import TheveninSource
from optimizer.numerics.roots import root_between

FASTEST = 60_000.0  # rpm, beyond which no speed is looked for
FINE = 1e-6  # of a speed, relative


def cut_in_speed(source: TheveninSource, load: Load) -> float:
    """Speed of the shaft in rad/s at which output begins."""
    return load.threshold / source.peak_constant


def working_rpm(source: TheveninSource, load: Load, watts: float) -> float | None:
    """Lowest speed at which the load gets `watts`; None when there is none below 60 000 rpm.

    A converter cannot get more than its own most. With a large reactance the watts level off, so some are never got.
    """
    low = rpm_of(cut_in_speed(source, load))
    if watts <= 0:
        return low
    high = max(1.5 * low, 1.0)
    while steady_state(source, load, high).load_watts < watts:
        low, high = high, 1.5 * high
        if high > FASTEST:
            return None
    return root_between(
        lambda rpm: steady_state(source, load, rpm).load_watts - watts, low, high, FINE * high
    )
