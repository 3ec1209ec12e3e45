"""The magnets' field where the winding is: B_z over the annulus at the bundle's mid height."""

from __future__ import annotations

import numpy as np

from geometry.curves.curve import Real
from geometry.machine.layout import Layout
from optimizer.field.emf import machine_field
from optimizer.field.magpylib_field import magpylib_field
from optimizer.field.pole_harmonics import disc_profile, odd_orders, pole_harmonics
from optimizer.field.steel import images_share
from optimizer.numerics.quadrature import even_grid
from optimizer.plots.machine_axes import add_bundles, add_circle, add_magnet, pole_places
from optimizer.plots.style import BLACK, Axes, halo, set_finding, steady, two_sided_map
from optimizer.words.wording import number, quantity, size_mm

PIXELS = 301  # across the disc
LEVELS = 8  # contour lines to either side, at most


def mid_height(layout: Layout) -> float:
    """Height of the bundle's middle above the magnet faces, m."""
    return layout.air_gap + layout.stack_height / 2


def field_values(layout: Layout, x: Real, y: Real) -> Real:
    """B_z in T at points (m, any shape) of the annulus at the bundle's mid height; NaN outside it.

    Of discs and rings as magpylib computes it: what the eye sees has another source than the figures.
    """
    carrier, space, height = layout.carrier, layout.space, mid_height(layout)
    r, angle = np.hypot(x, y), np.arctan2(y, x)
    reach, heights = carrier.pitch_radius + space.outer_radius, np.array([height])
    if carrier.magnet.discs:
        stack = layout.stack(images_share(layout))
        profile = disc_profile(carrier.magnet, heights, reach, stack, magpylib_field)
    else:
        profile = machine_field(layout, heights, reach)
    radii = even_grid(space.bore_radius, space.outer_radius, height / 12)
    orders = odd_orders(carrier.count, space.outer_radius, height)
    harmonics = pole_harmonics(profile, carrier.count, carrier.pitch_radius, radii, orders)[:, 0]
    inside = (r >= space.bore_radius) & (r <= space.outer_radius)
    field = np.full(r.shape, np.nan)
    turns = np.exp(1j * carrier.pole_pairs * angle[inside])
    twice, turned, total = turns**2, turns, np.zeros(turns.shape)
    rows: list[Real] = [*harmonics]
    for amplitudes in rows:  # odd orders in turn: each two pole-pair angles on
        total += np.interp(r[inside], radii, amplitudes) * np.real(turned)
        turned = turned * twice
    field[inside] = total
    return field


def field_plot(layout: Layout, axes: Axes) -> Axes:
    """B_z in T over the annulus in mm, with contour lines, the magnets' outlines and one coil."""
    rim = layout.space.outer_radius
    line = np.linspace(-rim, rim, PIXELS)
    field = steady(field_values(layout, *np.meshgrid(line, line)))
    peak, mm = float(np.nanmax(np.abs(field))), line * 1e3
    step = _round_step(peak / LEVELS)
    edge = rim * 1e3 * (1 + 1 / (PIXELS - 1))
    picture = axes.imshow(
        field, cmap=two_sided_map(), vmin=-peak, vmax=peak, origin="lower", extent=(-edge, edge, -edge, edge),
        interpolation="bilinear",
    )  # fmt: skip
    levels = [k * step for k in range(-LEVELS * 2, LEVELS * 2 + 1) if k and abs(k * step) < peak]
    axes.contour(mm, mm, field, levels=levels, colors=BLACK, linewidths=0.5)
    _outlines(axes, layout)
    bar = axes.figure.colorbar(picture, ax=axes, ticks=[0.0, *levels], shrink=0.85, pad=0.03)
    bar.set_label("B$_z$, T: above zero toward the coil (N), below zero away (S)")
    axes.set_aspect("equal")
    axes.set(
        xlabel="x, mm", ylabel="y, mm", xlim=(-1.05 * edge, 1.05 * edge), ylim=(-1.05 * edge, 1.05 * edge)
    )
    axes.grid(visible=False)
    set_finding(axes, _title(layout, peak, step), 6.4)
    return axes


def _title(layout: Layout, peak: float, step: float) -> str:
    return (
        f"The field reaches {quantity(peak, 'T')} halfway up the bundle, {size_mm(mid_height(layout) * 1e3)} "
        f"above the magnets; one contour line every {number(step, 1)}\u00a0T"
    )


def _outlines(axes: Axes, layout: Layout) -> None:
    for index, center in enumerate(pole_places(layout)):
        style = ("-", "--")[index % 2]
        add_magnet(axes, layout, index, fill=False, edgecolor=BLACK, linewidth=1.2, linestyle=style)
        axes.text(
            center.real, center.imag, "NS"[index % 2], ha="center", va="center", weight="bold",
            path_effects=halo(),
        )  # fmt: skip
    add_bundles(axes, layout, only_first=True, fill=False, edgecolor="white", linewidth=4)
    add_bundles(axes, layout, only_first=True, fill=False, edgecolor=BLACK, linewidth=1.8)
    for radius in (layout.space.bore_radius * 1e3, layout.space.outer_radius * 1e3):
        add_circle(axes, 0j, radius, fill=False, edgecolor=BLACK, linewidth=1.2)


def _round_step(rough: float) -> float:
    """The next 1, 2 or 5 times a power of ten at or above `rough`."""
    power = 10.0 ** np.floor(np.log10(rough))
    return float(next(factor * power for factor in (1, 2, 5, 10) if factor * power >= rough * (1 - 1e-9)))
