"""The sizes beside the plan of a machine, and the point that each one's leader goes to.

Leaders leave the disc along rays from the shaft. So that none meets another or runs through its point, points stand
at angles of their own: those that are free to lie anywhere on their circle give way to those that are not.
"""

from __future__ import annotations

import cmath
from collections.abc import Iterable, Iterator
from math import pi, radians

import numpy as np

from geometry.curves.curve import Complex, Curve, polyline
from geometry.machine.layout import Layout
from optimizer.plots.machine_axes import Size
from optimizer.words.wording import size_mm, unbroken

STEEPEST = 72  # degrees; leaders leave at the right of the drawing
APART = 13  # degrees, at least, between the rays of two leaders where the machine lets them be so far apart


def plan_sizes(layout: Layout) -> list[Size]:
    """From the top down."""
    chosen: list[Size] = []
    for text, points in _choices(layout):
        rays = [cmath.phase(size.point) for size in chosen]
        free = [(min((abs(cmath.phase(p) - ray) for ray in rays), default=pi), p) for p in points]
        best = next(
            (p for apart, p in free if apart >= radians(APART)), max(free, key=lambda pair: pair[0])[1]
        )
        chosen.append(Size(text, best))
    return sorted(chosen, key=lambda size: -cmath.phase(size.point))


def _choices(layout: Layout) -> Iterator[tuple[str, list[complex]]]:
    """Each size with the points (mm) it may be shown at, the best first; those with the fewest come first."""
    space, carrier, winding = layout.space, layout.carrier, layout.winding
    step, pitch = 360 / carrier.count, carrier.pitch_radius
    size = carrier.magnet.size_label.replace("° × ", "°\n× ")  # an arc's sizes take two lines
    edge = _outer_edge(carrier.magnet.outline(pitch))
    tips = _multiples(0, 2 * step)
    yield f"winding to radius\n{size_mm(winding.outer_radius * 1e3)}", _on(winding.outer_radius, tips)
    yield f"magnets\n{unbroken(size)}", [edge * _ray(angle) for angle in _multiples(42, step)]
    yield f"bundle {size_mm(winding.width * 1e3)} wide", _on_bundle(layout, -20)
    yield f"rim ⌀ {size_mm(space.outer_diameter * 1e3)}", _on(space.outer_radius, _around(66))
    between = [*_multiples(25, step, step / 2), *_around(25)]
    yield f"pitch circle ⌀ {size_mm(2e3 * pitch)}", _on(pitch, between)
    between = [*_multiples(-36, step, step / 2), *_around(-36)]
    yield f"bore ⌀ {size_mm(space.bore_diameter * 1e3)}", _on(space.bore_radius, between)
    yield (
        f"winding from radius\n{size_mm(winding.inner_radius * 1e3)}",
        _on(winding.inner_radius, _around(-64)),
    )


def _ray(angle: float) -> complex:
    return cmath.rect(1, radians(angle))


def _on(radius: float, angles: Iterable[float]) -> list[complex]:
    """Points (mm) on a circle about the shaft (m)."""
    return [radius * 1e3 * _ray(angle) for angle in angles]


def _outer_edge(face: Curve) -> complex:
    """The point (mm) of a face on the x axis that lies furthest out along a ray at 60° from that axis."""
    points = polyline(face, step=1e-3, sagitta=1e-6)
    return complex(points[np.argmax((points * cmath.rect(1, -radians(60))).real)]) * 1e3


def _multiples(wanted: float, step: float, first: float = 0.0) -> list[float]:
    """The angles `first` plus whole steps that are not too steep, those nearest to the wanted one first."""
    count = int(180 / step) + 1
    angles = (first + step * index for index in range(-count, count + 1))
    return sorted((a for a in angles if abs(a) <= STEEPEST), key=lambda angle: (abs(angle - wanted), angle))


def _around(wanted: float) -> list[float]:
    """Angles every two degrees that are not too steep, those nearest to the wanted one first."""
    return _multiples(wanted, 2.0, wanted % 2)


def _on_bundle(layout: Layout, wanted: float) -> list[complex]:
    """Points (mm) of the coils' middle turns near their outer end, those nearest to the wanted angle first."""
    turn = layout.topology.turn(layout.envelope, 0.0)
    points = np.concatenate([np.atleast_1d(stretch.at(np.linspace(0, 1, 9))) for stretch in turn])
    points: Complex = np.concatenate([points * cmath.rect(1, angle) for angle in layout.order.axes]) * 1e3
    middle = (layout.winding.inner_radius + 3 * layout.winding.outer_radius) / 4 * 1e3
    right = points[np.abs(np.angle(points)) <= radians(STEEPEST)]
    return [complex(p) for p in right[np.argsort(np.abs(right - middle * _ray(wanted)), kind="stable")]]
