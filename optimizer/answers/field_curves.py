"""EMF against speed, magnet count and air gap: the design as it is but for the one."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

import numpy as np

from geometry.fit.rules import violations
from geometry.machine.layout import Layout
from optimizer.answers.bounds import MOST_MAGNETS, no_voltage, too_much_to_draw
from optimizer.answers.flat import Flat
from optimizer.answers.page_values import layout_of
from optimizer.answers.task import Tell
from optimizer.field.emf import waveform

GAPS = (0.5, 0.75, 1.0, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0)  # of the design's own
SPEEDS = (0.0, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0)
COUNTS_ASIDE = 6  # magnets more or fewer, at most


def curves(design: Flat, tell: Tell) -> dict[str, Any]:
    """Rows of [x, volts rms] by quantity; a count whose layout does not fit, or has no voltage, is left out."""
    del tell
    layout = layout_of(design)
    if too_much_to_draw(layout) or no_voltage(layout):
        return {"speed": [], "gap": [], "count": []}
    per_rpm = waveform(layout).rms / layout.speed_rpm
    speeds = [layout.speed_rpm * share for share in SPEEDS]
    return {
        "speed": [_pair(rpm, per_rpm * rpm) for rpm in speeds],
        "gap": _volts((replace(layout, air_gap=layout.air_gap * share) for share in GAPS), _gap_mm),
        "count": _volts(_counted(layout), _count),
    }


def _volts(machines: Iterable[Layout], x: Callable[[Layout], float]) -> list[list[float]]:
    return [_pair(x(machine), waveform(machine).rms) for machine in machines if not no_voltage(machine)]


def _counted(layout: Layout) -> Iterable[Layout]:
    carrier = layout.carrier
    low, high = max(carrier.count - COUNTS_ASIDE, 2), min(carrier.count + COUNTS_ASIDE, MOST_MAGNETS)
    for count in range(low, high + 1, 2):
        try:
            machine = replace(layout, carrier=replace(carrier, count=count))
        except ValueError:  # its coils cannot be connected in this many phases
            continue
        if not violations(machine):
            yield machine


def _count(machine: Layout) -> float:
    return machine.carrier.count


def _gap_mm(machine: Layout) -> float:
    return machine.air_gap * 1e3


def _pair(x: float, volts: float) -> list[float]:
    return [float(np.round(x, 6)), float(f"{volts:.6g}")]
