"""What a load gets at a steady speed: volts, amps, watts and where the rest is lost."""

from __future__ import annotations

from geometry.machine.speed import rad_s_of
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads.load import Load
from optimizer.circuit.thevenin import TheveninSource


def steady_state(source: TheveninSource, load: Load, speed_rpm: float) -> LoadPoint:
    """The load point at `speed_rpm` (at least zero). Raises ValueError for a speed below zero or not finite."""
    if not 0 <= speed_rpm < float("inf"):
        raise ValueError(f"speed_rpm must be at least zero, was {speed_rpm:g}")
    return load.steady(source, rad_s_of(speed_rpm))
