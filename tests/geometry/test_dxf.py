import hashlib
import io
import os
import subprocess
import sys
from math import atan, pi, sin
from pathlib import Path as File

import ezdxf
import numpy as np
import pytest
from ezdxf.tools.text import plain_text
from layouts import lantern_layout
from shapely import Polygon

from geometry.coils.topology import TOPOLOGIES
from geometry.curves.curve import polyline
from geometry.drawing.coil_drawing import former_outlines
from geometry.drawing.layout_drawing import draw_layout
from geometry.drawing.primitives import Circle, drawing_bounds
from geometry.writers.dxf import dxf_bytes

each_topology = pytest.mark.parametrize("topology", TOPOLOGIES)


def read_back(layout):
    return ezdxf.read(io.StringIO(dxf_bytes(draw_layout(layout)).decode("utf-8")))


def on_layer(document, name, kind):
    return list(document.modelspace().query(f'{kind}[layer=="{name}"]'))


def area(entity):
    """Area in mm² of a circle, or of a closed polyline: chords, plus a circular segment for each bulge."""
    if entity.dxftype() == "CIRCLE":
        return pi * entity.dxf.radius**2
    assert entity.closed
    points = entity.get_points("xyb")
    total = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(points, points[1:] + points[:1], strict=True):
        total += (x0 * y1 - x1 * y0) / 2
        if bulge:
            angle = 4 * atan(bulge)
            radius = np.hypot(x1 - x0, y1 - y0) / 2 / sin(angle / 2)
            total += radius**2 / 2 * (angle - sin(angle))
    return abs(total)


def turn_area(layout, offset):
    """Area in mm² from shapely, with chords so fine (1 nm) that they cost less than 1e-7 of it."""
    points = polyline(layout.topology.turn(layout.envelope, offset), step=1e-4, sagitta=1e-9)
    return Polygon(np.column_stack((points.real, points.imag)) * 1e3).area


@each_topology
def test_audit_finds_nothing(topology):
    auditor = read_back(lantern_layout(topology)).audit()
    assert not auditor.errors
    assert not auditor.fixes


def test_units_are_metric_millimetres():
    document = read_back(lantern_layout())
    assert document.header["$INSUNITS"] == 4
    assert document.header["$MEASUREMENT"] == 1
    assert document.dxfversion == "AC1024"


@each_topology
def test_layers_keep_names_colours_and_line_types(topology):
    document, drawing = read_back(lantern_layout(topology)), draw_layout(lantern_layout(topology))
    for layer in drawing.layers:
        found = document.layers.get(layer.name)
        assert found.rgb == layer.color
        assert found.dxf.lineweight == round(layer.width * 1e5)
        assert found.description == layer.description
    assert (
        document.layers.get("POCKETS_SOUTH").dxf.linetype != document.layers.get("POCKETS_NORTH").dxf.linetype
    )
    used = {entity.dxf.layer for entity in document.modelspace()}
    assert used <= {layer.name for layer in drawing.layers}
    assert {layer.name for layer in drawing.layers if layer.primitives} == used


@each_topology
def test_circles_have_the_layouts_radii(topology):
    layout = lantern_layout(topology)
    document = read_back(layout)
    radii = {
        "CARRIER_OUTLINE": [55.0, 15.0],
        "PITCH_CIRCLE": [40.0],
        "POCKETS_NORTH": [7.5] * 4,
        "POCKETS_SOUTH": [7.5] * 4,
        "FORMER": [core.radius * 1e3 for core in former_outlines(layout) if isinstance(core, Circle)],
    }
    for name, expected in radii.items():
        assert [c.dxf.radius for c in on_layer(document, name, "CIRCLE")] == pytest.approx(expected, abs=1e-9)
    distances = [np.hypot(*c.dxf.center.vec2) for c in on_layer(document, "POCKETS_NORTH", "CIRCLE")]
    assert distances == pytest.approx([40.0] * 4, abs=1e-9)


@each_topology
def test_coil_outlines_enclose_the_layouts_areas(topology):
    layout = lantern_layout(topology)
    document, half = read_back(layout), layout.winding.width / 2
    expected = [turn_area(layout, half), turn_area(layout, -half)]
    for name, sense in (("COIL_OUTLINE", 1), ("COIL_OUTLINE_REVERSED", -1)):
        areas = [area(e) for e in on_layer(document, name, "*")]
        coils = sum(its_sense == sense for its_sense in layout.order.senses)
        assert areas == pytest.approx(expected * coils, rel=1e-6)
    assert area(on_layer(document, "TURN_PATH", "*")[0]) == pytest.approx(turn_area(layout, 0.0), rel=1e-6)


def test_serpentine_arcs_are_exact_and_few():
    """Eight legs, eight arcs about the shaft, sixteen bends: one vertex each."""
    (path,) = on_layer(read_back(lantern_layout()), "TURN_PATH", "LWPOLYLINE")
    assert len(path) == 32
    assert sum(bulge != 0 for _, _, bulge in path.get_points("xyb")) == 24


@each_topology
def test_check_line_measures_50_mm(topology):
    lines = on_layer(read_back(lantern_layout(topology)), "CHECK_LINE", "LINE")
    lengths = sorted((line.dxf.end - line.dxf.start).magnitude for line in lines)
    assert lengths[-1] == pytest.approx(50.0, abs=1e-9)
    assert lengths[-2] < 10
    texts = [t.dxf.text for t in on_layer(read_back(lantern_layout(topology)), "CHECK_LINE", "TEXT")]
    assert texts == ["50 mm", "Units: millimetres. Scale 1:1; the check line must measure 50 mm"]


def test_viewers_open_on_the_whole_drawing():
    low, high = drawing_bounds(draw_layout(lantern_layout()))
    document = read_back(lantern_layout())
    assert document.header["$EXTMIN"][:2] == pytest.approx((low.real * 1e3, low.imag * 1e3))
    assert document.header["$EXTMAX"][:2] == pytest.approx((high.real * 1e3, high.imag * 1e3))


@pytest.mark.parametrize("title", ["50%% more", "100 %", "a^b ^I", "Ω and ⌀ for <all> & sundry", "%%d %%%"])
def test_titles_read_as_they_were_written(title):
    texts = [
        plain_text(t.dxf.text) for t in on_layer(read_back(lantern_layout(title=title)), "CAPTION", "TEXT")
    ]
    assert texts[0] == title


@pytest.mark.slow
def test_same_bytes_in_every_process():
    """Processes whose hash seeds put the sets in the DXF library in different orders, and this one."""
    root = File(__file__).parents[2]
    script = (
        "import hashlib; from geometry.drawing.layout_drawing import draw_layout;"
        "from geometry.writers.dxf import dxf_bytes;"
        "from layouts import lantern_layout;"
        "print(hashlib.sha256(dxf_bytes(draw_layout(lantern_layout('wedge')))).hexdigest())"
    )
    path = os.pathsep.join([str(root), str(root / "tests")])
    digests = [
        subprocess.run(
            [sys.executable, "-c", script],
            env=os.environ | {"PYTHONPATH": path, "PYTHONHASHSEED": seed},
            capture_output=True, text=True, check=True,
        ).stdout.strip()
        for seed in ("1", "4")
    ]  # fmt: skip
    here = hashlib.sha256(dxf_bytes(draw_layout(lantern_layout("wedge")))).hexdigest()
    assert digests == [here, here]
    assert dxf_bytes(draw_layout(lantern_layout("round"))) != dxf_bytes(draw_layout(lantern_layout("wedge")))


def test_writing_leaves_the_librarys_own_setting_alone():
    dxf_bytes(draw_layout(lantern_layout()))
    assert ezdxf.options.write_fixed_meta_data_for_testing is False
