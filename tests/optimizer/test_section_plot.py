"""The cut through the shaft, and three phases in a plot."""

import numpy as np
import pytest
from family import FAMILY, facing_wedges, nine_wedges
from layouts import lantern_layout
from matplotlib.patches import PathPatch
from shapely import boundary, contains, dwithin, points

from geometry.fit.judge import coil_polygons
from geometry.machine.layout import Layout
from geometry.stock.magnet import RingMagnet
from optimizer.evaluation.chain import evaluate
from optimizer.field.emf import machine_emf
from optimizer.plots.layout_plot import layout_figure
from optimizer.plots.result_plots import layout_figures
from optimizer.plots.style import Figure, finding, house_style


def drawn(layout: Layout) -> Figure:
    """Plan and section, as the plots of a machine have them."""
    with house_style():
        return layout_figure(layout)


@pytest.mark.slow
@pytest.mark.parametrize("name", FAMILY)
def test_the_section_holds_every_magnet_plate_and_bundle_at_its_height(name):
    layout = FAMILY[name]
    figure = drawn(layout)
    section = figure.axes[1]
    boxes = sorted((p.get_y(), p.get_y() + p.get_height()) for p in section.patches if p.get_x() > 0)
    gap, stack = layout.air_gap * 1e3, layout.stack_height * 1e3
    top = gap + stack + (gap + (4 + layout.carrier.plate * 1e3) if layout.carrier.carriers > 1 else 0)
    bottom = -4 - layout.carrier.plate * 1e3 - (gap + stack if layout.sides > 1 else 0)
    assert boxes[0][0] == pytest.approx(bottom)
    assert max(high for _, high in boxes) == pytest.approx(top)
    low, high = section.get_ylim()
    assert low < bottom
    assert high > top


def test_unlike_poles_face_each_other_in_the_section():
    section = drawn(facing_wedges()).axes[1]
    letters = {
        round(t.get_position()[1], 6): t.get_text() for t in section.texts if t.get_text() in ("N", "S")
    }
    assert letters == {-2.0: "N", 10.0: "S"}


def test_three_phases_and_the_line_are_drawn():
    layout = nine_wedges()
    axes = layout_figures(machine_emf(layout))["waveform"].axes[0]
    curves = {str(line.get_label()): np.asarray(line.get_ydata(), float) for line in axes.lines}
    assert {"A", "B", "C", "A to B"} <= curves.keys()
    assert np.allclose(curves["A"] - curves["B"], curves["A to B"], atol=1e-6)
    assert np.sqrt(np.mean(curves["A to B"][:-1] ** 2)) == pytest.approx(
        evaluate(layout).emf_line_rms_V, rel=1e-5
    )
    assert "rms between terminals, in star" in finding(axes.figure)


def test_a_ring_is_drawn_with_its_hole_and_its_letter_beside_it():
    ring = RingMagnet.of_grade(diameter=0.015, bore=0.005, thickness=0.004, grade="N42")
    plan, section = drawn(lantern_layout("wedge", magnet=ring)).axes
    magnet = next(patch for patch in plan.patches if isinstance(patch, PathPatch))
    rim, hole = (polygon[:, 0] for polygon in magnet.get_path().to_polygons())
    assert (rim.min(), rim.max()) == pytest.approx((32.5, 47.5), abs=0.03)
    assert (hole.min(), hole.max()) == pytest.approx((37.5, 42.5), abs=0.03)
    letters = [text.get_position() for text in plan.texts if text.get_text() == "N"]
    assert letters[0] == pytest.approx((40 + 5, 0))
    cut = sorted(p.get_x() for p in section.patches if p.get_height() == pytest.approx(4) and p.get_x() > 0)
    assert cut == pytest.approx([32.5, 42.5])


@pytest.mark.slow
@pytest.mark.parametrize("name", FAMILY)
def test_the_section_shows_copper_where_the_plane_meets_it_and_nowhere_else(name):
    """Along the x axis, at points between, against the bundles' outlines in the plan."""
    layout = FAMILY[name]
    section = drawn(layout).axes[1]
    bundles = [p for p in section.patches if p.get_fill() and p.get_hatch() is None and p.get_facecolor()[3] < 0.5]
    rim = layout.space.outer_radius
    x = np.linspace(-rim, rim, 997)
    shown = np.any([(p.get_x() <= x * 1e3) & (x * 1e3 <= p.get_x() + p.get_width()) for p in bundles], axis=0)
    polygons, there = np.array(coil_polygons(layout))[:, None], points(x, np.zeros_like(x))
    copper = contains(polygons, there).any(axis=0)
    near = dwithin(boundary(polygons), there, 5e-6).any(axis=0)
    assert (near | (copper == shown)).all()
    assert 0.02 < copper.mean() < 0.98


def test_the_section_of_facing_carriers_tells_the_distance_between_their_magnets():
    section = drawn(facing_wedges()).axes[1]
    assert any("face to face 8" in text.get_text() for text in section.texts)
