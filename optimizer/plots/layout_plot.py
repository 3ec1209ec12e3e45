"""The machine to scale: seen from the coil, and cut through the shaft."""

from __future__ import annotations

import cmath
from collections.abc import Iterator
from dataclasses import dataclass
from math import radians
from typing import Any

import numpy as np

from geometry.curve import Line, rotated_curve
from geometry.filaments import coil_senses
from geometry.layout import Layout
from geometry.primitives import SHORTEST, point
from optimizer.plots.outlines import add_bundles, add_circle, magnet_centers
from optimizer.plots.style import (
    BLACK,
    BLUE,
    GREEN,
    GREY,
    VERMILION,
    WIDTH,
    Axes,
    Figure,
    Path,
    PathPatch,
    Rectangle,
    halo,
    new_figure,
    set_finding,
)
from optimizer.wording import plural, size_mm

DARK_GREEN, PALE_NORTH, PALE_SOUTH = "#00503a", "#f6c9a8", "#b9d9ee"
LEFT, RIGHT, TOP = 1.1, 2.1, 1.1  # of the rim's radius: what the drawing shows around the shaft
MARGINS = (0.65, 0.05, 0.5, 0.55)  # inches: left, right, top, bottom


def layout_figure(layout: Layout) -> Figure:
    """Plan above, section below, both at one scale with axes in millimetres."""
    rim = _rim(layout)
    left, right, top, bottom = MARGINS
    scale = (WIDTH - left - right) / ((LEFT + RIGHT) * rim)  # inches per mm
    plan, cut, between = 2 * TOP * rim * scale, _section_span(layout) * scale, 0.75
    height = bottom + cut + between + plan + top
    figure = new_figure(height)
    width = (WIDTH - left - right) / WIDTH
    low = (bottom + cut + between) / height
    layout_plot(layout, figure.add_axes((left / WIDTH, low, width, plan / height)))
    section_plot(layout, figure.add_axes((left / WIDTH, bottom / height, width, cut / height)))
    return figure


def layout_plot(layout: Layout, axes: Axes) -> Axes:
    """The machine seen from the coil, in mm: magnets with their poles, bundles, directions, key sizes."""
    rim = _rim(layout)
    _axes_in_mm(axes, layout, (-TOP * rim, TOP * rim))
    add_circle(axes, 0j, rim, facecolor="#f4f4f2", edgecolor=BLACK, linewidth=1.4)
    add_circle(axes, 0j, layout.space.bore_radius * 1e3, facecolor="white", edgecolor=BLACK, linewidth=1.4)
    _magnets(axes, layout)
    pitch = layout.carrier.pitch_radius * 1e3
    add_circle(axes, 0j, pitch, fill=False, edgecolor=GREY, linewidth=0.8, linestyle="-.")
    inner = layout.winding.inner_radius * 1e3
    add_circle(axes, 0j, inner, fill=False, edgecolor=DARK_GREEN, linewidth=0.9, linestyle=":")
    add_bundles(axes, layout, facecolor=GREEN + "59", edgecolor=DARK_GREEN, linewidth=0.9)
    _directions(axes, layout)
    _poles(axes, layout)
    _leaders(axes, layout, list(_plan_sizes(layout)), radial=True)
    axes.set_ylabel("y, mm")
    set_finding(axes, _title(layout))
    return axes


def section_plot(layout: Layout, axes: Axes) -> Axes:
    """The machine cut through the shaft, in mm at true scale: magnet thickness, air gap, winding height."""
    thickness, gap = layout.carrier.magnet.thickness * 1e3, layout.air_gap * 1e3
    height = layout.winding.height * 1e3
    _axes_in_mm(axes, layout, _section_limits(layout))
    pitch, radius = layout.carrier.pitch_radius * 1e3, layout.carrier.magnet.diameter * 5e2
    inner, outer = layout.winding.inner_radius * 1e3, layout.winding.outer_radius * 1e3
    opposite = 1 if layout.carrier.pole_pairs % 2 == 0 else -1
    for side, polarity in ((1, 1), (-1, opposite)):
        magnet = (side * pitch - radius, -thickness)
        axes.add_patch(Rectangle(magnet, 2 * radius, thickness, **_pole_style(polarity)))
        _letter(axes, complex(side * pitch, -thickness / 2), polarity, 7.5)
        left = inner if side > 0 else -outer
        axes.add_patch(
            Rectangle((left, gap), outer - inner, height, facecolor=GREEN + "59", edgecolor=DARK_GREEN)
        )
    axes.axvline(0, color=GREY, linewidth=0.8, linestyle="-.")
    _leaders(axes, layout, list(_section_sizes(layout)))
    axes.set(xlabel="x, mm", ylabel="z, mm")
    axes.xaxis.set_label_coords(LEFT / (LEFT + RIGHT), -0.3)
    axes.set_title("Cut through the shaft, same scale", fontsize=9.5)
    return axes


def _title(layout: Layout) -> str:
    winding, coils = layout.winding, layout.coils
    kind = plural(coils, f"{winding.topology} coil")
    each = " each" if coils > 1 else ""
    magnets = plural(layout.carrier.count, "magnet")
    return f"{magnets} facing {kind} of {plural(winding.turns, 'turn')}{each}, seen from the coil"


def _rim(layout: Layout) -> float:
    return max(layout.space.outer_radius, layout.winding.outer_radius) * 1e3


def _section_limits(layout: Layout) -> tuple[float, float]:
    pad = 0.16 * _rim(layout)
    top = (layout.air_gap + layout.winding.height) * 1e3
    return -layout.carrier.magnet.thickness * 1e3 - pad, top + pad


def _section_span(layout: Layout) -> float:
    low, high = _section_limits(layout)
    return high - low


def _axes_in_mm(axes: Axes, layout: Layout, limits: tuple[float, float]) -> None:
    rim = _rim(layout)
    axes.set_aspect("equal")
    axes.set(xlim=(-LEFT * rim, RIGHT * rim), ylim=limits)
    axes.grid(visible=False)
    axes.set_xticks([tick for tick in axes.get_xticks() if abs(tick) <= 1.02 * rim])
    axes.set_yticks(
        [
            tick
            for tick in axes.get_yticks()
            if max(limits[0], -1.02 * rim) <= tick <= min(limits[1], 1.02 * rim)
        ]
    )
    axes.spines["bottom"].set_bounds(-1.05 * rim, 1.05 * rim)


def _pole_style(polarity: int) -> dict[str, Any]:
    if polarity > 0:
        return {"facecolor": PALE_NORTH, "edgecolor": VERMILION, "linewidth": 1.4}
    return {"facecolor": PALE_SOUTH, "edgecolor": BLUE, "linewidth": 1.4, "linestyle": "--", "hatch": "////"}


def _magnets(axes: Axes, layout: Layout) -> None:
    radius = layout.carrier.magnet.diameter * 5e2
    for index, center in enumerate(magnet_centers(layout)):
        add_circle(axes, center, radius, **_pole_style(1 - 2 * (index % 2)))


def _poles(axes: Axes, layout: Layout) -> None:
    """A letter in the middle of each magnet, as large as the magnet takes."""
    inches = (WIDTH - MARGINS[0] - MARGINS[1]) / ((LEFT + RIGHT) * _rim(layout))
    size = float(np.clip(layout.carrier.magnet.diameter * 1e3 * inches * 72 * 0.36, 5, 15))
    for index, center in enumerate(magnet_centers(layout)):
        _letter(axes, center, 1 - 2 * (index % 2), size)


def _letter(axes: Axes, center: complex, polarity: int, size: float) -> None:
    axes.text(
        center.real, center.imag, "N" if polarity > 0 else "S", ha="center", va="center", fontsize=size,
        weight="bold", color=BLACK, path_effects=halo(),
    )  # fmt: skip


def _directions(axes: Axes, layout: Layout) -> None:
    """An arrowhead in the middle of each leg, or half coil without legs: the way the voltages add."""
    turn = layout.topology.turn(layout.envelope, 0.0)
    legs = [stretch for stretch in turn if isinstance(stretch, Line) and float(stretch.length) > SHORTEST]
    size = min(0.6 * layout.winding.width, 4e-3) * 1e3
    for angle, sense in coil_senses(layout):
        for stretch in rotated_curve(legs or turn, angle):
            along = sense * point(stretch.tangent(0.5))
            tip = arrow_tip(point(stretch.at(0.5)) * 1e3, along / abs(along), size)
            axes.add_patch(PathPatch(tip, facecolor=DARK_GREEN, edgecolor="white", linewidth=0.4))


def arrow_tip(middle: complex, direction: complex, size: float) -> Path:
    """A filled arrowhead, `size` mm long, pointing along `direction` (of length 1)."""
    tip, tail, side = middle + direction * size / 2, middle - direction * size / 2, 0.4j * direction * size
    corners = [tip, tail + side, tail - side, tip]
    return Path([(z.real, z.imag) for z in corners], closed=True)


@dataclass(frozen=True, slots=True)
class _Size:
    """A size and the point (mm) that its leader goes to."""

    text: str
    point: complex


def _plan_sizes(layout: Layout) -> Iterator[_Size]:
    """From the top down, so that no leaders cross: they leave the disc along rays from the shaft."""
    yield from sorted(_unsorted_sizes(layout), key=lambda size: -cmath.phase(size.point))


def _unsorted_sizes(layout: Layout) -> Iterator[_Size]:
    space, carrier, winding = layout.space, layout.carrier, layout.winding
    magnet, step = carrier.magnet, 360 / carrier.count
    pitch = carrier.pitch_radius

    def at(radius: float, degrees: float) -> complex:
        return cmath.rect(radius * 1e3, radians(degrees))

    axis = _nearest(42, step)
    edge = magnet.diameter / 2 * cmath.rect(1e3, radians(axis + 60))
    thick = f"magnets ⌀ {size_mm(magnet.diameter * 1e3)},\n{size_mm(magnet.thickness * 1e3)} thick"
    yield _Size(f"rim ⌀ {size_mm(space.outer_diameter * 1e3)}", at(space.outer_radius, 66))
    yield _Size(thick, at(pitch, axis) + edge)
    yield _Size(f"pitch circle ⌀ {size_mm(2e3 * pitch)}", at(pitch, _between(25, step)))
    yield _Size(
        f"winding to radius\n{size_mm(winding.outer_radius * 1e3)}",
        at(winding.outer_radius, _nearest(0, 2 * step)),
    )
    yield _Size(f"bundle {size_mm(winding.width * 1e3)} wide", _on_bundle(layout, -20))
    yield _Size(f"bore ⌀ {size_mm(space.bore_diameter * 1e3)}", at(space.bore_radius, _between(-36, step)))
    yield _Size(f"winding from radius\n{size_mm(winding.inner_radius * 1e3)}", at(winding.inner_radius, -64))


def _nearest(degrees: float, step: float) -> float:
    """The multiple of `step` nearest to an angle."""
    return round(degrees / step) * step


def _between(degrees: float, step: float) -> float:
    """The angle midway between two magnets nearest to `degrees`, kept on the right of the drawing."""
    return float(np.clip((round(degrees / step - 0.5) + 0.5) * step, -60, 60))


def _on_bundle(layout: Layout, degrees: float) -> complex:
    """The point (mm) of some coil's middle turn that lies nearest to an angle at the outer end."""
    turn = layout.topology.turn(layout.envelope, 0.0)
    points = np.concatenate([np.atleast_1d(stretch.at(np.linspace(0, 1, 9))) for stretch in turn])
    points = np.concatenate([points * cmath.rect(1, angle) for angle, _ in coil_senses(layout)])
    middle = (layout.winding.inner_radius + 3 * layout.winding.outer_radius) / 4
    return complex(points[np.argmin(np.abs(points - cmath.rect(middle, radians(degrees))))]) * 1e3


def _section_sizes(layout: Layout) -> Iterator[_Size]:
    magnet, gap = layout.carrier.magnet, layout.air_gap * 1e3
    outer = layout.winding.outer_radius * 1e3
    height, thickness = layout.winding.height * 1e3, magnet.thickness * 1e3
    edge = layout.carrier.pitch_radius * 1e3 + magnet.diameter * 5e2
    yield _Size(f"winding {size_mm(height)} high", complex(outer, gap + height / 2))
    yield _Size(f"air gap {size_mm(gap)}", complex((outer + edge) / 2 - 0.05 * outer, gap / 2))
    yield _Size(f"magnets {size_mm(thickness)} thick", complex(edge, -thickness / 2))


def _leaders(axes: Axes, layout: Layout, sizes: list[_Size], *, radial: bool = False) -> None:
    """Sizes in a column at the right, each with a line to what it measures, first along a ray if `radial`."""
    low, high = axes.get_ylim()
    rows = np.linspace(high - 0.12 * (high - low), low + 0.12 * (high - low), len(sizes))
    rim = _rim(layout)
    for size, y in zip(sizes, rows, strict=True):
        out = [size.point / abs(size.point) * 1.06 * rim] if radial else []
        path = np.array([size.point, *out, complex(1.24 * rim, y), complex(1.3 * rim, y)])
        axes.plot(
            np.real(path), np.imag(path), color=BLACK, linewidth=0.7, marker="o", markevery=[0], markersize=3,
            path_effects=halo(2.2),
        )  # fmt: skip
        axes.text(1.32 * rim, y, size.text, va="center", fontsize=8.5)
