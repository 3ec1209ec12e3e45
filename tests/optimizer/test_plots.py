"""The plots show the result's own numbers, say their units and findings, and are the same byte for byte."""

import pickle
import subprocess
import sys
from dataclasses import replace
from hashlib import sha256
from itertools import combinations, pairwise

import numpy as np
import pytest
from layouts import lantern_layout
from matplotlib import rcParams
from matplotlib.colors import to_hex
from matplotlib.patches import Circle, PathPatch
from shapely import LineString
from shown import plots_of, report_of

from geometry.coils.topology import TOPOLOGIES
from optimizer.evaluation.chain import evaluate, significant
from optimizer.field.emf import machine_emf, waveform
from optimizer.field.pole_harmonics import axial_field
from optimizer.packs.drawn_plots import drawn_plot, plot_names
from optimizer.plots.air_gap_plot import air_gap_plot
from optimizer.plots.field_plot import field_values, mid_height
from optimizer.plots.layout_plot import PALE_NORTH, PALE_SOUTH, layout_plot
from optimizer.plots.machine_axes import pole_places
from optimizer.plots.result_plots import count_loss_plot, count_plot, layout_figures, topology_plot
from optimizer.plots.style import Figure, figure_png, figure_svg, finding, topology_look
from optimizer.reports.pages import svg_uri
from optimizer.reports.pictures import picture

SHAPES = list(TOPOLOGIES)
UNITS = ("mm", "V", "V rms", "W", "%", "degrees", "T", "(open circuit)", "the best, %")


@pytest.fixture(scope="module")
def figures(small_result):
    return plots_of(small_result)


@pytest.fixture(scope="module")
def machines():
    return {shape: layout_figures(machine_emf(lantern_layout(shape))) for shape in SHAPES}


def bars(axes):
    return [bar.get_height() for bar in axes.patches]


def points(axes):
    """All marked points that lines with labels hold."""
    lines = [line for line in axes.lines if not line.get_label().startswith("_")]
    return {line.get_label(): sorted(zip(*map(list, line.get_data()), strict=True)) for line in lines}


def texts(axes):
    return [text.get_text() for text in axes.texts]


def test_every_plot_is_there(figures):
    assert set(figures) == {
        "layout", "waveform", "field_map", "emf_by_air_gap", "emf_by_magnet_count", "by_topology", "textbook",
        "any_winding",
    }  # fmt: skip


def test_counts_show_each_best_value_by_shape_and_ring_the_winner(figures, small_result):
    shown = points(figures["emf_by_magnet_count"].axes[0])
    best = small_result.best.figures
    assert shown.pop("best") == [(best.layout.carrier.count, significant(best.emf_rms_V))]
    expected: dict[str, list[tuple[int, float]]] = {}
    for entry in small_result.by_magnet_count:
        pair = (entry.layout.carrier.count, significant(entry.figures.emf_rms_V))
        expected.setdefault(entry.layout.winding.topology, []).append(pair)
    assert shown == expected


def test_losses_are_against_the_best(figures, small_result):
    values = [entry.figures.emf_rms_V for entry in small_result.by_magnet_count]
    assert bars(figures["emf_by_magnet_count"].axes[1]) == pytest.approx(
        [100 * (1 - v / max(values)) for v in values]
    )


def test_count_title_says_the_finding(figures, small_result):
    values = {entry.layout.carrier.count: entry.figures.emf_rms_V for entry in small_result.by_magnet_count}
    loss = 100 * (1 - values[4] / values[8])
    words = finding(figures["emf_by_magnet_count"]).replace("\u00a0", " ")
    assert words == f"8 magnets give {values[8]:.2f} V rms; 4 give {loss:.0f} % less"


def test_counts_show_power_when_power_was_asked_for(small_result):
    result = replace(small_result, brief=replace(small_result.brief, goal="power"))
    axes = count_plot(result, Figure().add_subplot())
    assert points(axes)["best"] == [(8, significant(result.best.figures.matched_power_W))]
    assert axes.get_ylabel() == "Power into a matched load, W"


def fed(result, watts):
    """The result of a search for a load that gets so many watts for each volt of a machine."""
    machines = {entry: replace(entry, load_watts=watts * entry.figures.emf_rms_V**2) for entry in (
        result.best, *result.by_magnet_count, *result.by_topology)}  # fmt: skip
    return replace(
        result, best=machines[result.best], by_magnet_count=tuple(map(machines.get, result.by_magnet_count)),
        by_topology=tuple(map(machines.get, result.by_topology)),
    )  # fmt: skip


def test_counts_and_shapes_show_what_the_load_gets_in_a_search_for_one(small_result):
    result = fed(small_result, 0.5)
    plots = (count_plot, count_loss_plot, topology_plot)
    counts, losses, shapes = (plot(result, Figure().add_subplot()) for plot in plots)
    watts = [significant(entry.load_watts) for entry in result.by_magnet_count]
    shown = points(counts)
    assert shown.pop("best") == [(8, significant(result.best.load_watts))]
    assert sorted(value for pairs in shown.values() for _, value in pairs) == sorted(watts)
    assert bars(losses) == pytest.approx([100 * (1 - each / max(watts)) for each in watts])
    assert bars(shapes) == [significant(entry.load_watts) for entry in result.by_topology]
    assert counts.get_ylabel() == shapes.get_ylabel() == "Power into the load, W"
    for axes in (counts, shapes):
        assert axes.get_title().replace("\u00a0", " ").count(" W") == 1


def test_a_load_that_gets_nothing_leaves_the_volts(small_result):
    axes = count_plot(fed(small_result, 0.0), Figure().add_subplot())
    assert axes.get_ylabel() == "EMF, V rms"


def test_shapes_and_textbook_show_their_values(figures, small_result):
    shapes = [significant(entry.figures.emf_rms_V) for entry in small_result.by_topology]
    assert bars(figures["by_topology"].axes[0]) == shapes
    book = small_result.textbook
    volts = [significant(entry.figures.emf_rms_V) for entry in (book.entry, small_result.best)]
    expected = [book.sizing_equation_V, *volts]
    assert bars(figures["textbook"].axes[0]) == expected


def test_no_textbook_no_plot(small_result):
    assert "textbook" not in plots_of(replace(small_result, textbook=None))


@pytest.mark.parametrize("shape", SHAPES)
def test_waveform_has_the_figures_rms_and_peak(machines, shape):
    known = evaluate(lantern_layout(shape))
    left, right = machines[shape]["waveform"].axes
    curve = next(line for line in left.lines if len(line.get_xdata()) > 1000)
    degrees, volts = curve.get_data()
    assert (degrees[0], degrees[-1]) == (0, 360)
    assert np.sqrt(np.mean(volts[:-1] ** 2)) == pytest.approx(known.emf_rms_V, rel=1e-5)
    assert volts.max() == pytest.approx(known.emf_peak_V, rel=1e-5)
    marked = [line for line in left.lines if len(line.get_xdata()) == 1]
    assert marked[0].get_ydata()[0] == pytest.approx(known.emf_peak_V, rel=1e-5)
    emf = waveform(lantern_layout(shape))
    assert bars(right) == pytest.approx(100 * np.abs(emf.amplitudes[1:11] / emf.amplitudes[0]), abs=1e-3)
    assert [tick.get_text() for tick in right.get_xticklabels()][:3] == ["3", "5", "7"]


def test_air_gap_curve_is_that_of_the_layout_with_other_gaps():
    layout = lantern_layout(air_gap=0.002)
    axes = air_gap_plot(layout, Figure().add_subplot())
    gaps, volts = axes.lines[0].get_data()
    assert (gaps[0], gaps[-1]) == (0.5, 6.0)
    assert len(gaps) >= 12
    assert all(near > far for near, far in pairwise(volts))
    assert volts[-1] == pytest.approx(evaluate(replace(layout, air_gap=0.006)).emf_rms_V, rel=1e-5)
    (chosen,), (own,) = axes.lines[2].get_data()
    assert (chosen, own) == (2.0, pytest.approx(evaluate(layout).emf_rms_V, rel=1e-5))


@pytest.mark.parametrize("count", [2, 8])
def test_field_map_is_the_sum_of_the_magnets(count):
    layout = lantern_layout("round", count=count)
    rng = np.random.default_rng(1)
    z = (0.015 + 0.04 * rng.random(200)) * np.exp(2j * np.pi * rng.random(200))
    expected = sum(
        (-1) ** index * axial_field(layout.carrier.magnet, np.abs(z - center / 1e3), mid_height(layout))
        for index, center in enumerate(pole_places(layout))
    )
    assert field_values(layout, z.real, z.imag) == pytest.approx(expected, abs=1e-4)
    assert np.isnan(field_values(layout, np.array([0.0, 0.06]), np.array([0.0, 0.0]))).all()


def test_field_map_scale_is_even_about_zero_and_has_units(machines):
    axes, bar = machines["round"]["field_map"].axes
    low, high = axes.images[0].get_clim()
    assert low == -high
    assert high == pytest.approx(np.nanmax(axes.images[0].get_array()))
    assert bar.get_ylabel().startswith("B$_z$, T")


@pytest.mark.parametrize("shape", SHAPES)
def test_layout_is_to_scale(machines, shape):
    layout = lantern_layout(shape)
    plan, cut = machines[shape]["layout"].axes
    assert plan.get_aspect() == cut.get_aspect() == 1.0
    scales = [axes.get_position().width / np.ptp(axes.get_xlim()) for axes in (plan, cut)]
    assert scales[0] == pytest.approx(scales[1])
    circles = [patch for patch in plan.patches if isinstance(patch, Circle)]
    assert {round(c.radius, 6) for c in circles if c.center == (0, 0)} >= {55.0, 15.0, 40.0}
    for color in (PALE_NORTH, PALE_SOUTH):
        pockets = [c for c in circles if to_hex(c.get_facecolor()) == color]
        assert [c.radius for c in pockets] == pytest.approx([7.5] * 4)
        assert all(np.hypot(*c.center) == pytest.approx(40) for c in pockets)
    bundles = [
        p.get_path().vertices for p in plan.patches if isinstance(p, PathPatch) and len(p.get_path()) > 8
    ]
    assert len(bundles) == layout.coils
    radii = np.hypot(*np.vstack(bundles).T)
    assert radii.max() == pytest.approx(layout.winding.outer_radius * 1e3, abs=0.05)
    assert radii.min() == pytest.approx(layout.winding.inner_radius * 1e3, abs=0.05)


@pytest.mark.parametrize("shape", SHAPES)
def test_layout_names_poles_and_sizes(machines, shape):
    layout = lantern_layout(shape)
    plan, cut = machines[shape]["layout"].axes
    written = texts(plan)
    assert written.count("N") == written.count("S") == 4
    sizes = " | ".join(text.replace("\n", " ").replace("\u00a0", " ") for text in [*written, *texts(cut)])
    inner = f"{layout.winding.inner_radius * 1e3:g}"
    for size in (
        "rim ⌀ 110 mm", "bore ⌀ 30 mm", "pitch circle ⌀ 80 mm", "magnets ⌀ 15 × 4 mm",
        "bundle 4 mm wide",
        "winding to radius 50 mm", f"winding from radius {inner} mm", "winding 5 mm high", "air gap 1.5 mm",
    ):  # fmt: skip
        assert size in sizes


def test_south_differs_from_north_without_colour(machines):
    circles = [patch for patch in machines["wedge"]["layout"].axes[0].patches if isinstance(patch, Circle)]
    looks = {c.get_hatch() for c in circles if to_hex(c.get_facecolor()) == PALE_SOUTH}
    assert looks == {"////"}
    assert not any(c.get_hatch() for c in circles if to_hex(c.get_facecolor()) == PALE_NORTH)


FEW = {"outer_radius": 0.042, "inner_radius": 0.03, "width": 0.003, "turns": 9}
WIDE = {"outer_diameter": 0.2, "bore_diameter": 0.002, "outer_radius": 0.056}
POINTED = {
    **{f"{count} round coils": lantern_layout("round", count=count, **FEW) for count in (2, 4, 16)},
    **{shape: lantern_layout(shape) for shape in SHAPES},
    "a wide disc with a tiny bore": lantern_layout(count=20, width=0.003, turns=9, inner_radius=0.03, **WIDE),
}


@pytest.mark.parametrize("name", POINTED)
def test_leaders_stay_in_the_picture_and_neither_cross_nor_pass_a_point(name):
    layout = POINTED[name]
    rim = layout.space.outer_radius * 1e3
    axes = layout_plot(layout, Figure().add_subplot())
    leaders = [np.column_stack(line.get_data()) for line in axes.lines if len(line.get_xdata()) == 4]
    assert len(leaders) == 7
    rows = [leader[-1][1] for leader in leaders]
    angles = [np.arctan2(*leader[1][::-1]) for leader in leaders]
    assert rows == sorted(rows, reverse=True)
    assert angles == sorted(angles, reverse=True)
    assert max(np.abs(angles)) < np.pi / 2
    apart = [one.distance(other) for one, other in combinations(map(LineString, leaders), 2)]
    assert min(apart) > 0.04 * rim


def test_shapes_differ_without_colour():
    looks = [topology_look(shape) for shape in SHAPES]
    for values in (
        {look.marker for look in looks},
        {look.hatch for look in looks},
        {look.color for look in looks},
    ):
        assert len(values) == len(SHAPES)


def test_every_axis_has_its_unit(figures):
    for name, figure in figures.items():
        assert finding(figure), name
        for axes in figure.axes:
            label = axes.get_ylabel()
            assert label.endswith(UNITS) or "B$_z$, T" in label, (name, label)
    assert figures["emf_by_magnet_count"].axes[1].get_xlabel() == "magnets"
    for name in ("layout", "field_map", "emf_by_air_gap"):
        assert figures[name].axes[-1 if name == "layout" else 0].get_xlabel().endswith("mm")


@pytest.mark.slow
def test_one_plot_alone_is_the_one_among_all(figures, small_result):
    assert plot_names(small_result) == list(figures)
    for name in ("waveform", "by_topology"):
        assert drawn_plot(small_result, name) == picture(figures[name])


CHILD = """
import pickle, sys
from hashlib import sha256
from optimizer.plots.style import figure_png
from shown import plots_of, report_of
result = pickle.load(sys.stdin.buffer)
figures = plots_of(result)
for figure in figures.values():
    print(sha256(figure_png(figure)).hexdigest())
print(sha256(report_of(result, figures).encode()).hexdigest(), "matplotlib.pyplot" in sys.modules)
"""


@pytest.mark.slow
def test_same_bytes_in_another_process(figures, small_result):
    child = subprocess.run(
        [sys.executable, "-c", CHILD], input=pickle.dumps(small_result), capture_output=True, check=True,
        env={"PYTHONHASHSEED": "7", "PYTHONPATH": ":".join(path for path in sys.path if path)},
    )  # fmt: skip
    *drawn, report = child.stdout.decode().splitlines()
    assert drawn == [_hash(figure_png(figure)) for figure in figures.values()]
    ours = report_of(small_result, figures)
    assert ours.count(svg_uri(b"")) == len(figures)  # each plot's SVG
    assert report == f"{_hash(ours.encode())} False"


def _hash(data):
    return sha256(data).hexdigest()


def test_writing_again_gives_the_same_and_leaves_no_trace(figures):
    figure = figures["waveform"]
    first = figure_svg(figure), figure_png(figure)
    before = dict(rcParams)
    assert (figure_svg(figure), figure_png(figure)) == first
    assert dict(rcParams) == before
    assert b"matplotlib.org" not in b"".join(first)
    assert b"Software" not in first[1]


def test_the_users_own_settings_change_nothing(small_result, figures, monkeypatch):
    monkeypatch.setitem(rcParams, "axes.facecolor", "black")
    monkeypatch.setitem(rcParams, "font.size", 30)
    again = plots_of(small_result)["by_topology"]
    assert figure_png(again) == figure_png(figures["by_topology"])
