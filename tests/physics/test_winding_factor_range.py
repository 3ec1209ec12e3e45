"""A winding factor is a share: it stays between 0 and 1, also for a winding that stands beside the magnets."""

from __future__ import annotations

import numpy as np
import pytest
from layouts import lantern_layout

from optimizer.emf import winding_factor


@pytest.mark.parametrize("topology", ["serpentine", "wedge", "round"])
def test_winding_factor_is_a_share(topology: str) -> None:
    """Over pitch radii from far inside the winding to far outside of it."""
    factors = [
        winding_factor(lantern_layout(topology, pitch_radius=radius))
        for radius in np.linspace(0.022, 0.09, 24)
    ]
    assert min(factors) >= 0
    assert max(factors) <= 1 + 1e-6
