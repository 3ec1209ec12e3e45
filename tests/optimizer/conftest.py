"""A small brief that is searched in about a second, and its result."""

import pytest

from optimizer.brief import Brief, brief_from_text
from optimizer.result import Result
from optimizer.search import optimize

SMALL_BRIEF = """
title = "Lamp <script>alert(1)</script> & $co"
[space]
outer_diameter_mm = 80
bore_diameter_mm = 20
air_gap_mm = 2.5
coil_height_mm = 5
[speed]
rpm = 500
[[magnets]]
shape = "disc"
diameter_mm = 15
thickness_mm = 5
grade = "N42"
quantity = 8
[wire]
diameters_mm = [0.25, 0.315]
length_m = 30
[coil]
topologies = ["wedge", "round"]
"""


@pytest.fixture(scope="session")
def small_brief() -> Brief:
    """Two to eight magnets, two coil shapes, two wires; the title tries to break pages and plots."""
    return brief_from_text(SMALL_BRIEF, "small")


@pytest.fixture(scope="session")
def small_result(small_brief: Brief) -> Result:
    """What the search finds for `small_brief`."""
    return optimize(small_brief)
