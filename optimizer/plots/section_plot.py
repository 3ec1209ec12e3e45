"""The machine cut through the shaft: carriers, steel, coils and air gaps, at true scale."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from geometry.curves.curve import Curve, polyline
from geometry.fit.judge import cut_bundles
from geometry.machine.layout import Layout
from optimizer.plots.machine_axes import (
    LEFT,
    RIGHT,
    Size,
    axes_in_mm,
    leaders,
    phase_style,
    pole_letter,
    pole_style,
    rim_mm,
)
from optimizer.plots.style import BLACK, GREY, Axes, Rectangle, halo
from optimizer.words.wording import size_mm

STEEL = "#8c8c8c"


def section_plot(layout: Layout, axes: Axes) -> Axes:
    """The machine cut by the plane of its shaft and x axis, in mm at true scale: magnets, steel, gaps, windings.

    Copper is drawn where the plane meets it; dashes show how far the winding behind the plane reaches.
    """
    axes_in_mm(axes, layout, section_limits(layout))
    opposite = 1 if layout.carrier.pole_pairs % 2 == 0 else -1
    for side, polarity in ((1, 1), (-1, opposite)):
        _cut_side(axes, layout, side, polarity)
    _windings(axes, layout)
    axes.axvline(0, color=GREY, linewidth=0.8, linestyle="-.")
    leaders(axes, layout, list(_section_sizes(layout)))
    axes.set(xlabel="x, mm", ylabel="z, mm")
    axes.xaxis.set_label_coords(LEFT / (LEFT + RIGHT), -0.3 * _plain_span(layout) / section_span(layout))
    axes.set_title("Cut along the x axis, same scale; dashed: the winding behind the cut", fontsize=9.5)
    return axes


def section_limits(layout: Layout) -> tuple[float, float]:
    """Lowest and highest z of the section, mm."""
    pad = 0.16 * rim_mm(layout)
    levels = [z for low, high in (*_magnet_levels(layout), *_plate_levels(layout)) for z in (low, high)]
    levels += [z for _, low, high in _bundles(layout) for z in (low, high)]
    return min(levels) - pad, max(levels) + pad


def section_span(layout: Layout) -> float:
    """Height of the section, mm."""
    low, high = section_limits(layout)
    return high - low


def _plain_span(layout: Layout) -> float:
    """Height of the section with one carrier and one bundle, mm."""
    plain = layout.carrier.magnet.thickness + layout.air_gap + layout.winding.height
    return plain * 1e3 + 0.32 * rim_mm(layout)


def _cut_side(axes: Axes, layout: Layout, side: int, polarity: int) -> None:
    """What lies on one side of the shaft (+1 right); polarity of the first carrier's magnet there."""
    rim, bore = layout.space.outer_radius * 1e3, layout.space.bore_radius * 1e3
    for low, high in _plate_levels(layout):
        corner = (bore if side > 0 else -rim, low)
        axes.add_patch(
            Rectangle(corner, rim - bore, high - low, facecolor=STEEL, edgecolor=BLACK, hatch="xx")
        )
    for carrier, (low, high) in enumerate(_magnet_levels(layout)):
        shown = polarity * (1 - 2 * carrier)  # unlike poles face each other
        for nearest, farthest in _reaches_mm(layout):
            magnet = (nearest if side > 0 else -farthest, low)
            axes.add_patch(Rectangle(magnet, farthest - nearest, high - low, **pole_style(shown)))
            pole_letter(axes, complex(side * (nearest + farthest) / 2, (low + high) / 2), shown, 7.5)
    inner, outer = layout.winding.inner_radius * 1e3, layout.winding.outer_radius * 1e3
    for _, low, high in _bundles(layout):
        behind = (inner if side > 0 else -outer, low)
        style: dict[str, Any] = {"fill": False, "edgecolor": GREY, "linewidth": 0.7, "linestyle": (0, (4, 3))}
        axes.add_patch(Rectangle(behind, outer - inner, high - low, **style))


def _windings(axes: Axes, layout: Layout) -> None:
    """The copper that the plane meets, with the letter of its phase."""
    cut, letters = cut_bundles(layout), layout.order.letters
    for level, low, high in _bundles(layout):
        for phase, parts in enumerate(cut):
            if layout.stacked and phase != level:
                continue
            style: dict[str, Any] = {**phase_style(phase), "linewidth": 1.0, "linestyle": "-"}
            for left, right in parts:
                axes.add_patch(Rectangle((left * 1e3, low), (right - left) * 1e3, high - low, **style))
                if letters[phase]:
                    axes.text(
                        (left + right) * 500, (low + high) / 2, letters[phase], ha="center", va="center",
                        fontsize=6, weight="bold", path_effects=halo(1.5),
                    )  # fmt: skip


def _magnet_levels(layout: Layout) -> list[tuple[float, float]]:
    """Lower and upper faces of the magnets of each carrier, mm."""
    thickness = layout.carrier.magnet.thickness * 1e3
    clear = (2 * layout.air_gap + layout.stack_height) * 1e3
    return [(-thickness, 0.0), (clear, clear + thickness)][: layout.carrier.carriers]


def _plate_levels(layout: Layout) -> list[tuple[float, float]]:
    """Lower and upper faces of the steel plates, mm."""
    plate = layout.carrier.plate * 1e3
    if not plate:
        return []
    levels = _magnet_levels(layout)
    return [(levels[0][0] - plate, levels[0][0]), *((high, high + plate) for _, high in levels[1:])]


def _bundles(layout: Layout) -> list[tuple[int, float, float]]:
    """Level, lower and upper face of each bundle in the cut, both sides, mm."""
    height, gap = layout.winding.height * 1e3 / layout.pieces, layout.air_gap * 1e3
    found = [(level, gap + height * at, gap + height * (at + 1)) for at, level in enumerate(layout.layers)]
    behind = -layout.carrier.magnet.thickness * 1e3
    return found + [(phase, behind - high, behind - low) for phase, low, high in found if layout.sides > 1]


def _reaches_mm(layout: Layout) -> list[tuple[float, float]]:
    """From where to where a magnet is cut, by distances from the shaft, mm: twice where it has a hole."""
    magnet, pitch = layout.carrier.magnet, layout.carrier.pitch_radius
    near, far = float(magnet.reach(pitch)[0]) * 1e3, _crossings_mm(magnet.outline(pitch))[1]
    if not (hole := magnet.hole(pitch)):
        return [(near, far)]
    start, end = _crossings_mm(hole)
    return [(near, start), (end, far)]


def _crossings_mm(edge: Curve) -> tuple[float, float]:
    """Where a closed edge about the x axis begins and ends along it, mm."""
    points = polyline(edge, step=1e-3, sagitta=1e-6)
    return float(points.real.min()) * 1e3, float(points.real.max()) * 1e3


def _section_sizes(layout: Layout) -> Iterator[Size]:
    """From the top down."""
    magnet, gap = layout.carrier.magnet, layout.air_gap * 1e3
    outer = layout.winding.outer_radius * 1e3
    height, thickness = layout.winding.height * 1e3, magnet.thickness * 1e3
    edge, stack = _reaches_mm(layout)[-1][1], layout.stack_height * 1e3
    plates = _plate_levels(layout)
    if stack > height:
        told = f"winding {size_mm(stack)} high,\neach phase {size_mm(height)}"
    else:
        told = f"winding {size_mm(height)} high"
    yield Size(told, complex(outer, gap + stack / 2))
    yield Size(f"air gap {size_mm(gap)}", complex((outer + edge) / 2 - 0.05 * outer, gap / 2))
    if layout.carrier.carriers > 1:
        clear = layout.clear * 1e3
        yield Size(f"face to face {size_mm(clear)}", complex(edge, clear))
    yield Size(f"magnets {size_mm(thickness)} thick", complex(edge, -thickness / 2))
    if plates:
        plate = size_mm(layout.carrier.plate * 1e3)
        yield Size(f"steel {plate} thick", complex(layout.space.outer_radius * 1e3, sum(plates[0]) / 2))
