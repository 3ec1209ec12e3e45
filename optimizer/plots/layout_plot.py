"""The machine to scale: seen from the coil, and cut through the shaft; its sizes beside it.

Leaders leave the disc along rays from the shaft. So that none meets another or runs through its point, points stand
at angles of their own: those that are free to lie anywhere on their circle give way to those that are not.
"""

from __future__ import annotations

import cmath
from collections.abc import Iterable, Iterator
from math import pi, radians

import numpy as np

from geometry.curves.curve import Complex, Curve, polyline, rotated_curve
from geometry.drawing.primitives import arrowed, point
from geometry.machine.layout import Layout
from optimizer.plots.machine_axes import (
    DARK_GREEN,
    LEFT,
    PALE_NORTH,
    PALE_SOUTH,
    RIGHT,
    TOP,
    Size,
    add_bundles,
    add_circle,
    add_magnet,
    axes_in_mm,
    leaders,
    phase_style,
    pole_letter,
    pole_places,
    pole_style,
    rim_mm,
)
from optimizer.plots.section_plot import section_plot, section_span
from optimizer.plots.style import (
    BLACK,
    GREY,
    WIDTH,
    Axes,
    Figure,
    Path,
    PathPatch,
    halo,
    new_figure,
    set_finding,
)
from optimizer.words.wording import plural, size_mm, unbroken

STEEPEST = 72  # degrees; leaders leave at the right of the drawing
APART = 13  # degrees, at least, between the rays of two leaders where the machine lets them be so far apart
__all__ = ["PALE_NORTH", "PALE_SOUTH", "layout_figure", "layout_plot", "section_plot"]

MARGINS = (0.65, 0.05, 0.5, 0.55)  # inches: left, right, top, bottom


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


def layout_figure(layout: Layout) -> Figure:
    """Plan above, section below, both at one scale with axes in millimetres."""
    rim = rim_mm(layout)
    left, right, top, bottom = MARGINS
    scale = (WIDTH - left - right) / ((LEFT + RIGHT) * rim)  # inches per mm
    plan, cut, between = 2 * TOP * rim * scale, section_span(layout) * scale, 0.75
    height = bottom + cut + between + plan + top
    figure = new_figure(height)
    width = (WIDTH - left - right) / WIDTH
    low = (bottom + cut + between) / height
    layout_plot(layout, figure.add_axes((left / WIDTH, low, width, plan / height)))
    section_plot(layout, figure.add_axes((left / WIDTH, bottom / height, width, cut / height)))
    return figure


def layout_plot(layout: Layout, axes: Axes) -> Axes:
    """The machine seen from the coil, in mm: magnets with their poles, bundles, directions, key sizes."""
    rim = rim_mm(layout)
    axes_in_mm(axes, layout, (-TOP * rim, TOP * rim))
    add_circle(axes, 0j, rim, facecolor="#f4f4f2", edgecolor=BLACK, linewidth=1.4)
    add_circle(axes, 0j, layout.space.bore_radius * 1e3, facecolor="white", edgecolor=BLACK, linewidth=1.4)
    _magnets(axes, layout)
    pitch = layout.carrier.pitch_radius * 1e3
    add_circle(axes, 0j, pitch, fill=False, edgecolor=GREY, linewidth=0.8, linestyle="-.")
    inner = layout.winding.inner_radius * 1e3
    add_circle(axes, 0j, inner, fill=False, edgecolor=DARK_GREEN, linewidth=0.9, linestyle=":")
    for phase in range(layout.phases):
        add_bundles(axes, layout, phase=phase, **phase_style(phase))
    _directions(axes, layout)
    _poles(axes, layout)
    _names(axes, layout)
    leaders(axes, layout, plan_sizes(layout), radial=True)
    axes.set(xlabel="x, mm", ylabel="y, mm")
    axes.xaxis.set_label_coords(LEFT / (LEFT + RIGHT), -0.05)
    set_finding(axes, _title(layout))
    return axes


def _title(layout: Layout) -> str:
    winding, coils = layout.winding, layout.coils // layout.sides
    kind = plural(coils, f"{winding.topology} coil")
    each = " each" if coils > 1 else ""
    magnets = plural(layout.carrier.count, "magnet")
    if layout.phases > 1:
        each += f" in {layout.phases} phases"
    around = {"single": "", "facing": ", one of two carriers", "two-sided": ", one of two sides"}
    view = f"seen from the coil{around[layout.carrier.arrangement]}"
    return f"{magnets} facing {kind} of {plural(winding.turns, 'turn')}{each}, {view}"


def _names(axes: Axes, layout: Layout) -> None:
    """The phase and number of each coil on its outer arc; there are none to tell apart in a single phase."""
    if layout.phases == 1:
        return
    radius = (layout.winding.outer_radius - layout.winding.width / 2) * 1e3
    around = layout.topology.halves(layout.sectors) // 2
    for coil in layout.order.by_phase():
        for loop in range(around):
            place = cmath.rect(radius, coil.angle + 2 * pi * loop / around)
            axes.text(
                place.real, place.imag, coil.name, ha="center", va="center", fontsize=6.5, weight="bold",
                color=BLACK, path_effects=halo(2),
            )  # fmt: skip


def _magnets(axes: Axes, layout: Layout) -> None:
    for index in range(layout.carrier.count):
        add_magnet(axes, layout, index, **pole_style(1 - 2 * (index % 2)))


def _poles(axes: Axes, layout: Layout) -> None:
    """A letter on each magnet, as large as the magnet takes."""
    inches = (WIDTH - MARGINS[0] - MARGINS[1]) / ((LEFT + RIGHT) * rim_mm(layout))
    size = float(np.clip(layout.carrier.magnet.mark_room[0] * 1e3 * inches * 72 * 0.36, 5, 15))
    for index, center in enumerate(pole_places(layout)):
        pole_letter(axes, center, 1 - 2 * (index % 2), size)


def _directions(axes: Axes, layout: Layout) -> None:
    """An arrowhead in the middle of each leg, or half coil without legs: the way the voltages add."""
    turn = layout.topology.turn(layout.envelope, 0.0)
    size = min(0.6 * layout.winding.width, 4e-3) * 1e3
    for angle, sense in zip(layout.order.axes, layout.order.senses, strict=True):
        for stretch in rotated_curve(arrowed(turn), angle):
            along = sense * point(stretch.tangent(0.5))
            tip = arrow_tip(point(stretch.at(0.5)) * 1e3, along / abs(along), size)
            axes.add_patch(PathPatch(tip, facecolor=DARK_GREEN, edgecolor="white", linewidth=0.4))


def arrow_tip(middle: complex, direction: complex, size: float) -> Path:
    """A filled arrowhead, `size` mm long, pointing along `direction` (of length 1)."""
    tip, tail, side = middle + direction * size / 2, middle - direction * size / 2, 0.4j * direction * size
    corners = [tip, tail + side, tail - side, tip]
    return Path([(z.real, z.imag) for z in corners], closed=True)
