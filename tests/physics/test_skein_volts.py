"""What hands make of a serpentine: turns that do not keep their places in the channel, and what that costs in volts.

A skein laid into a channel that it fills has as many wires at each depth as the model, but a wire may change its
depth from bend to bend. Each leg then runs from its depth at the inner bend to another at the outer one.
"""

import numpy as np
import pytest
from layouts import lantern_layout
from printed import layout_of

from geometry.curves.curve import Line, curve_length
from geometry.machine.layout import Layout
from geometry.parts.skein import TIGHT
from optimizer.field.linkage import flux_cutting, functional, node_counts
from optimizer.field.pole_harmonics import magnet_field, odd_orders, pole_harmonics
from optimizer.numerics.quadrature import even_grid

LAYOUTS = {
    "eight magnets": lantern_layout(),
    "sixteen magnets": layout_of(count=16),
    "wide": lantern_layout(width=0.006, peg_radius=0.0005, count=6, inner_radius=0.018, outer_radius=0.055),
}
PLACES = 40


def emf_and_length(layout: Layout, inner: np.ndarray, outer: np.ndarray) -> tuple[float, float]:
    """RMS of the legs' EMF halfway up the bundle, and their mean length, m; depths (m) at both bends of each leg."""
    envelope, topology, carrier = layout.envelope, layout.topology, layout.carrier
    low, high = topology.half_turn(envelope, inner), topology.half_turn(envelope, outer)
    leg = next(index for index, stretch in enumerate(low) if isinstance(stretch, Line))
    way = (*low[:leg], Line(low[leg].at(0), high[leg].at(1)), *high[leg + 1 :])
    orders = odd_orders(carrier.count, layout.winding.outer_radius, layout.air_gap)
    heights = np.array([layout.air_gap + layout.winding.height / 2])
    profile = magnet_field(
        carrier.magnet,
        heights,
        carrier.pitch_radius + layout.winding.outer_radius,
        layout.stack(0.0),
    )
    grid = even_grid(layout.winding.inner_radius, layout.winding.outer_radius, layout.air_gap / 2.5)
    field = pole_harmonics(profile, carrier.count, carrier.pitch_radius, grid, orders)[:, 0]
    poles = orders * carrier.pole_pairs
    rows = functional(*flux_cutting(way, node_counts(way, grid)), grid, poles)
    amplitudes = np.einsum("kur,kr->k", rows, field)
    return float(np.linalg.norm(amplitudes)), float(np.mean(curve_length(way)))


def depths(layout: Layout, share: float = 1.0) -> np.ndarray:
    return ((np.arange(PLACES) + 0.5) / PLACES - 0.5) * layout.winding.width * share


@pytest.mark.parametrize(
    ("name", "bound"), [("eight magnets", 0.01), ("sixteen magnets", 0.01), ("wide", 0.02)]
)
def test_wires_that_change_places_in_every_bend_give_the_models_volts(name: str, bound: float) -> None:
    """Forty wires whose depths are dealt anew at each bend; the third bundle is half as wide as its pole is long."""
    layout, rng = LAYOUTS[name], np.random.default_rng(7)
    model, length = emf_and_length(layout, depths(layout), depths(layout))
    for _ in range(20):
        volts, legs = emf_and_length(layout, depths(layout), rng.permutation(depths(layout)))
        assert volts == pytest.approx(model, rel=bound)
        assert legs == pytest.approx(length, rel=3e-3)


@pytest.mark.parametrize("name", ["eight magnets", "sixteen magnets"])
def test_a_skein_that_stays_as_tight_as_it_was_pulled_gives_the_models_volts(name: str) -> None:
    """A bundle of which wire fills 0.6, in the middle of the channel and as wide as the wire then is."""
    layout = LAYOUTS[name]
    model, length = emf_and_length(layout, depths(layout), depths(layout))
    tight = depths(layout, 0.6 / TIGHT)
    volts, legs = emf_and_length(layout, tight, tight)
    assert volts == pytest.approx(model, rel=0.01)
    assert legs == pytest.approx(length, rel=1e-9)


@pytest.mark.parametrize("name", LAYOUTS)
def test_wire_pulled_within_the_same_channel_loses_a_fiftieth_of_its_length(name: str) -> None:
    """What the model would miss were the wire pulled around the islands: it gathers at the inside of every bend."""
    layout = LAYOUTS[name]
    _, length = emf_and_length(layout, depths(layout), depths(layout))
    tight, slack = depths(layout, 0.6 / TIGHT), (1 - 0.6 / TIGHT) / 2 * layout.winding.width
    _, legs = emf_and_length(layout, tight + slack, tight - slack)
    assert legs < 0.983 * length
