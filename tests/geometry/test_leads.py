"""Wire beyond the turns: the same of a layout and of what the search knows of it, and worked by hand."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from family import FAMILY, nine_wedges
from layouts import lantern_layout
from shown import card_of

from geometry.machine.filaments import leads, phase_ends, spare, without_spare
from optimizer.scan.choices import family_of, leads_of

MACHINES = FAMILY | {shape: lantern_layout(shape) for shape in ("serpentine", "wedge", "round")}


@pytest.mark.parametrize("name", sorted(set(MACHINES) - {"three serpentines"}))
def test_the_search_and_the_card_count_the_same_ends(name: str) -> None:
    layout = MACHINES[name]
    radii = np.array([0.03, layout.winding.outer_radius, 0.2])
    many = leads_of(family_of(layout)).phase(radii)
    assert many[1] == pytest.approx(phase_ends(layout), rel=1e-12)
    assert card_of(layout).ends_length == pytest.approx(layout.phases * many[1], rel=1e-12)
    assert many[0] <= many[1] <= many[2]


def test_ends_worked_by_hand() -> None:
    """Three coils a phase, three sectors of 40° apart at most, to 50 mm: two joints of twice π · 50/9 + 40 mm."""
    layout = nine_wedges()
    step = leads(layout).step
    assert phase_ends(layout) == pytest.approx(0.4 + 4 * (layout.winding.outer_radius * step / 2 + 0.04))
    halves = MACHINES["interleaved serpentines"]
    assert phase_ends(halves) == pytest.approx(0.4 + 2 * 0.04)
    both = MACHINES["nine wedges on each side"]
    assert phase_ends(both) == pytest.approx(2 * phase_ends(layout))
    assert step == pytest.approx(2 * pi / 9)


def test_spare_is_two_per_cent_both_ways() -> None:
    assert spare(50.0) == pytest.approx(1.0)
    assert without_spare(51.0) == pytest.approx(50.0)
