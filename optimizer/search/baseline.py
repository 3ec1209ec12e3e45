"""The naive layout beside the winner: a textbook's rules of thumb, and what its sizing equation promises.

As many magnets as fit, as far out as they go; a winding as long as the magnets are wide; the bundle as tall as
allowed and as wide as fits, up to half a pole pitch. The sizing equation takes the field on a magnet's axis for the
peak of a sinusoidal gap field: E = (1/(2√2)) · legs · turns · ω · B (R2² − R1²), El-Hasan et al. (2000).
"""

from __future__ import annotations

from math import floor, pi, sqrt

import numpy as np

from geometry.coils.bundle import Envelope
from geometry.curves.curve import Real
from geometry.fit.rules import SLACK, violations, winding_clearances
from geometry.machine.layout import Layout
from optimizer.brief.brief import Brief, StockMagnet
from optimizer.evaluation.chain import evaluate
from optimizer.field.pole_harmonics import magnet_field
from optimizer.scan.choices import (
    Candidate,
    Dimensions,
    families_of,
    family_of,
    layout_of,
    magnet_counts,
    pitch_limits,
)
from optimizer.scan.wiring import best_wiring, bundle_of
from optimizer.search.result import Entry, Textbook


def sizing_equation(
    half_turns: float, turns: int, speed: float, flux_density: float, radii: tuple[float, float]
) -> float:
    """RMS EMF in V of legs between two `radii` (m) in a sinusoidal field of peak `flux_density` (T); speed: rad/s."""
    inner, outer = radii
    return half_turns * turns * speed * flux_density * (outer**2 - inner**2) / (2 * sqrt(2))


def textbook(brief: Brief) -> Textbook | None:
    """The textbook layout of the brief's first magnet and coil shape; None when no such layout fits."""
    for stock in brief.magnets:
        for count in reversed(magnet_counts(brief, stock)):
            layout = _layout(brief, stock, count)
            if layout is not None and not violations(layout):
                return Textbook(entry=Entry(evaluate(layout)), sizing_equation_V=_promise(layout))
    return None


def _layout(brief: Brief, stock: StockMagnet, count: int) -> Layout | None:
    family = next(families_of(brief, stock.magnet, count))
    pitch = stock.magnet.placed(_floored(pitch_limits(brief, stock.magnet)[1]))
    nearest, farthest = (float(edge) for edge in stock.magnet.reach(pitch))
    inner = round(max(nearest, brief.space.bore_radius), 9)
    outer = round(min(farthest, brief.space.outer_radius), 9)

    def envelope(width: Real) -> Envelope:
        return Envelope(
            inner_radius=inner, outer_radius=outer, width=width, sectors=family.sectors, peg_radius=brief.peg_radius
        )  # fmt: skip

    widths: Real = np.arange(1, 1 + int(pi * pitch / count / 1e-4), dtype=float) * 1e-4
    clearances = winding_clearances(brief.space, family.topology, envelope(widths))
    fits = np.all(np.broadcast_arrays(*(clearance >= -SLACK for clearance in clearances.values())), axis=0)
    if not fits.any():
        return None
    width: Real = widths[fits][-1:]
    height = round(brief.coil_height / family.stacked, 9)
    wiring = best_wiring(brief, bundle_of(family, envelope(width), height))
    if wiring.turns[0] < 1:
        return None
    dimensions = Dimensions(pitch, inner, outer, float(width[0]), height, brief.peg_radius)
    wire = brief.wires[int(wiring.wire[0])]
    return layout_of(brief, Candidate(family, dimensions, wire, int(wiring.turns[0])))


def _floored(length: float) -> float:
    return floor(length * 1e5 + 1e-6) / 1e5


def _peak_field(layout: Layout, height: float) -> float:
    """Largest B_z in T of one magnet by itself along its radial line, `height` (m) above it."""
    magnet, pitch = layout.carrier.magnet, layout.carrier.pitch_radius
    nearest, farthest = (float(edge) for edge in magnet.reach(pitch))
    radii = np.linspace(max(nearest, 0.0), farthest, 65)
    field = magnet_field(magnet, np.array([height]), farthest - nearest)
    return float(field.half_circle(pitch, radii, 1)[:, 0].max())


def _promise(layout: Layout) -> float:
    winding = layout.winding
    middle = layout.air_gap + winding.height / 2
    peak = _peak_field(layout, middle)
    half_turns = family_of(layout).half_turns
    speed = layout.angular_speed
    promised = sizing_equation(
        half_turns, winding.turns, speed, peak, (winding.inner_radius, winding.outer_radius)
    )
    return float(f"{promised:.6g}")
