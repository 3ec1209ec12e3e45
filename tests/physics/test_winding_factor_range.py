"""A winding factor is a share: between 0 and 1, or none where full-pitch legs give less than its turns."""

from __future__ import annotations

import numpy as np
import pytest
from layouts import lantern_layout

from geometry.coils.topology import TOPOLOGIES
from geometry.fit.rules import violations
from geometry.machine.filaments import phase_turns
from geometry.machine.layout import Layout
from optimizer.field.emf import RETURNED, machine_emf, waveform
from optimizer.field.pole_harmonics import magnet_field, pole_harmonics


def quotient(layout: Layout) -> float:
    """The EMF's fundamental over that of full-pitch legs, each turn's summed by itself on a fine grid of radii."""
    carrier, winding = layout.carrier, layout.winding
    _, levels = phase_turns(layout, 0)
    heights, times = np.unique(np.round(layout.air_gap + levels, 9), return_counts=True)
    reach = carrier.pitch_radius + winding.outer_radius
    profile = magnet_field(carrier.magnet, heights, reach, layout.stack(0.0))
    radii = np.linspace(winding.inner_radius, winding.outer_radius, 801)
    first = pole_harmonics(profile, carrier.count, carrier.pitch_radius, radii, np.array([1.0]))[0]
    legs = len(layout.order.members[0]) * layout.topology.halves(carrier.count)
    speed = layout.speed_rpm * 2 * np.pi / 60
    full = speed * legs * float(times @ np.trapezoid(first * radii, radii, axis=1))
    return abs(float(waveform(layout).amplitudes[0])) / full


def fitting(count: int) -> list[Layout]:
    """Random layouts that fit, of all shapes, their magnets anywhere on the disc."""
    rng, found = np.random.default_rng(57), list[Layout]()
    while len(found) < count:
        inner, outer = np.sort(rng.uniform(0.02, 0.053, 2))
        layout = lantern_layout(
            str(rng.choice(list(TOPOLOGIES))),
            pitch_radius=float(rng.uniform(0.022, 0.045)),
            inner_radius=float(inner),
            outer_radius=float(outer),
            width=float(rng.uniform(0.0015, 0.004)),
            turns=12,
        )
        found += [] if violations(layout) else [layout]
    return found


def of_radii(topology: str) -> list[Layout]:
    """Over pitch radii from far inside the winding to far outside of it."""
    return [lantern_layout(topology, pitch_radius=float(radius)) for radius in np.linspace(0.022, 0.09, 24)]


@pytest.mark.parametrize("source", [*TOPOLOGIES, "fitting"])
def test_winding_factor_is_a_share_or_none(source: str) -> None:
    layouts = fitting(57) if source == "fitting" else of_radii(source)
    for layout in layouts:
        factor, share = machine_emf(layout).winding_factor, quotient(layout)
        assert (factor is None) == (not 0 <= share <= 1 + RETURNED), (share, factor)
        if factor is not None:
            assert 0 <= factor <= 1
            assert factor == pytest.approx(min(share, 1.0), abs=3e-4)
    some = [machine_emf(layout).winding_factor for layout in layouts]
    assert None in some
    assert sum(factor is not None for factor in some) > len(some) / 3
