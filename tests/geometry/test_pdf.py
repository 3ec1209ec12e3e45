import os
import shutil
import subprocess
import sys
from cmath import rect
from math import pi

import numpy as np
import pytest
from layouts import lantern_layout

from geometry.coils.topology import TOPOLOGIES
from geometry.drawing.layout_drawing import draw_layout
from geometry.drawing.primitives import Drawing, drawing_bounds
from geometry.stock.magnet import DiscMagnet
from geometry.writers.paper import OVERLAP, PAPERS, WINDOW_CORNER, text_boxes
from geometry.writers.pdf import pdf_bytes
from geometry.writers.sheets import BAR_LEVEL, template_pages

DPI = 300
PX = DPI / 25.4e-3  # pixels in a metre
TITLE = "Lantern ⌀110, 25 Ω"
poppler = pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm is not installed")


def large(topology="serpentine"):
    """A disc of 300 mm, on six sheets."""
    inner = 0.092 if topology == "round" else 0.07
    magnet = DiscMagnet.of_grade(diameter=0.04, thickness=0.01, grade="N42")
    space = {
        "outer_diameter": 0.3,
        "bore_diameter": 0.05,
        "count": 12,
        "pitch_radius": 0.12,
        "magnet": magnet,
    }
    winding = {"inner_radius": inner, "outer_radius": 0.148, "width": 0.012, "peg_radius": 0.005}
    return lantern_layout(topology, **space, **winding)


def sheet_pages(layout, paper="A4"):
    return template_pages(draw_layout(layout), PAPERS[paper], TITLE)[1:]


class Scan:
    """A page as pixels: darkness 0 to 1 at places in metres from the paper's lower left corner."""

    def __init__(self, file):
        magic, size, deepest, rest = file.read_bytes().split(b"\n", 3)
        assert (magic, deepest) == (b"P5", b"255")
        width, height = map(int, size.split())
        self.dark = 1 - np.frombuffer(rest, np.uint8).reshape(height, width) / 255.0

    def at(self, places):
        """Darkness at complex places, linear between pixel centres."""
        places = np.asarray(places)
        x, y = places.real * PX - 0.5, self.dark.shape[0] - places.imag * PX - 0.5
        column, row = np.floor(x).astype(int), np.floor(y).astype(int)
        u, v, d = x - column, y - row, self.dark
        upper = (1 - u) * d[row, column] + u * d[row, column + 1]
        lower = (1 - u) * d[row + 1, column] + u * d[row + 1, column + 1]
        return (1 - v) * upper + v * lower

    def line(self, place, across, reach=1e-3):
        """Where a dark line lies that crosses the direction `across` near `place`, m from it; nan if none."""
        steps = np.linspace(-reach, reach, 201)
        darkness = self.at(place + steps * across)
        return float(np.sum(steps * darkness) / np.sum(darkness)) if darkness.max() > 0.3 else float("nan")


@pytest.fixture(scope="module")
def scans(tmp_path_factory):
    """Pages of a layout by paper, rendered once."""
    made = {}

    def scanned(name, layout, paper="A4"):
        if (name, paper) not in made:
            folder = tmp_path_factory.mktemp(name)
            file = folder / "template.pdf"
            file.write_bytes(pdf_bytes(draw_layout(layout), paper, title=TITLE))
            subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", file, folder / "page"], check=True)
            made[name, paper] = [Scan(f) for f in sorted(folder.glob("page-*.pgm"))]
        return made[name, paper]

    return scanned


def extracted(tmp_path, layout, *command):
    """What a program prints about the template of a layout; its file name follows the command."""
    file = tmp_path / "template.pdf"
    file.write_bytes(pdf_bytes(draw_layout(layout), title=TITLE))
    target = ["-"] if command[0] == "pdftotext" else []
    run = subprocess.run([*command, file, *target], check=True, capture_output=True, encoding="utf-8")
    return run.stdout


def fitted_circle(points):
    """Centre and radius by least squares."""
    system = np.column_stack((2 * points.real, 2 * points.imag, np.ones(len(points))))
    x, y, rest = np.linalg.lstsq(system, np.abs(points) ** 2, rcond=None)[0]
    return complex(x, y), float(np.sqrt(rest + x * x + y * y))


def diameter(scan, center, radius):
    """Median distance of the dark lines on either side of `center`, m."""
    directions = np.exp(1j * np.linspace(0, pi, 360, endpoint=False))
    reaches = [
        radius + scan.line(center + radius * z, z, 6e-4) + radius + scan.line(center - radius * z, -z, 6e-4)
        for z in directions
    ]
    assert np.isfinite(reaches).sum() > 100
    return float(np.nanmedian(reaches))


@poppler
@pytest.mark.parametrize("paper", PAPERS)
def test_bars_bore_and_pitch_circle_measure_right(scans, paper):
    """In pixels, within 0.1 mm; in fact within 0.01 mm."""
    layout = lantern_layout()
    _, scan = scans("small", layout, paper)
    assert np.array(scan.dark.shape) == pytest.approx(
        [PAPERS[paper].height * PX, PAPERS[paper].width * PX], abs=1.0
    )
    start = complex(*BAR_LEVEL)
    upright = complex(start.imag, start.real)
    for corner, along in ((start, 1), (upright, 1j)):
        place = corner + 1.4e-3 * along * 1j  # beside the bar, where the end ticks alone reach
        ends = [scan.line(place + end * along, along) + end for end in (0.0, 0.1)]
        assert ends[1] - ends[0] == pytest.approx(0.1, abs=5e-5)
        assert ends[0] == pytest.approx(0.0, abs=1e-4)
    center = sheet_pages(layout, paper)[0].views[0].shift
    assert diameter(scan, center, 0.015) == pytest.approx(0.03, abs=5e-5)
    assert diameter(scan, center, 0.04) == pytest.approx(0.08, abs=5e-5)
    assert diameter(scan, center, 0.055) == pytest.approx(0.11, abs=5e-5)


@pytest.mark.slow
@poppler
@pytest.mark.parametrize("paper", PAPERS)
def test_two_sheets_joined_at_their_marks_make_one_circle(scans, paper):
    """Marks are found in the pixels of both sheets; the rim's points of both then lie on one circle."""
    layout = large()
    pages, (_, left, right, *_) = sheet_pages(layout, paper), scans("large", layout, paper)
    window = PAPERS[paper].window
    marks = []
    for scan, x in (
        (left, WINDOW_CORNER.real + window.real - OVERLAP / 2),
        (right, WINDOW_CORNER.real + OVERLAP / 2),
    ):
        expected = complex(x, WINDOW_CORNER.imag + 0.8 * window.imag)
        ring = [
            rect(2.2e-3, quarter * pi / 2 + slant)
            for quarter in range(4)
            for slant in np.linspace(0.3, 1.2, 20)
        ]
        found = [expected + z * (1 + scan.line(expected + z, z / abs(z), 6e-4) / abs(z)) for z in ring]
        marks.append(fitted_circle(np.array(found))[0])
        assert abs(marks[-1] - expected) < 3e-5
    centers = [page.views[0].shift for page in pages[:2]]
    points = []
    for scan, center, shift in zip((left, right), centers, (0, marks[0] - marks[1]), strict=True):
        for angle in np.linspace(pi / 2 - 1.0, pi / 2 + 1.0, 400):
            place = center + rect(0.15, angle)
            inside = place - WINDOW_CORNER
            if 0.002 < inside.real < window.real - 0.002 and 0.002 < inside.imag < window.imag - 0.002:
                points.append(place + scan.line(place, rect(1, angle), 4e-4) * rect(1, angle) + shift)
    joined = np.array([z for z in points if np.isfinite(z)])
    assert len(joined) > 200
    assert np.ptp(joined.real) > window.real  # wider than one sheet
    center, radius = fitted_circle(joined)
    kept = joined[np.abs(np.abs(joined - center) - radius) < 1e-4]  # without lines that cross the rim
    assert len(kept) > 0.8 * len(joined)
    center, radius = fitted_circle(kept)
    assert 2 * radius == pytest.approx(0.3, abs=1e-4)
    assert np.abs(np.abs(kept - center) - radius).max() < 1e-4


@pytest.mark.slow
@poppler
@pytest.mark.parametrize("topology", TOPOLOGIES)
def test_sheets_show_the_drawing_all_around(scans, topology):
    """Every degree of rim and bore is dark on some sheet, and so is something of every text."""
    layout = large(topology)
    pages, rendered = sheet_pages(layout), scans(topology, layout)[1:]
    drawing = draw_layout(layout)
    for radius in (0.15, 0.025):
        for z in radius * np.exp(1j * np.radians(np.arange(0, 360, 1.0) + 0.5)):
            assert any(
                shown(scan, page.views[0], z, z / abs(z)) for scan, page in zip(rendered, pages, strict=True)
            )
    layers = tuple(y for y in drawing.layers if y.name not in ("CHECK_LINE", "CAPTION"))
    for low, high in text_boxes(layers):
        x, y = np.linspace(low.real, high.real, 40), np.linspace(low.imag, high.imag, 20)
        grid = np.add.outer(x, 1j * y).ravel()
        places = zip(rendered, (page.views[0] for page in pages), strict=True)
        whole = [(scan, view) for scan, view in places if inside(view, low) and inside(view, high)]
        assert any(scan.at(grid + view.shift).max() > 0.5 for scan, view in whole)


def inside(view, z):
    place = z + view.shift
    return view.low.real < place.real < view.high.real and view.low.imag < place.imag < view.high.imag


def shown(scan, view, z, across):
    return inside(view, z) and abs(scan.line(z + view.shift, across, 4e-4)) < 2e-4


@pytest.mark.slow
@poppler
@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_is_printed_in_the_margins(scans, paper):
    edge = int(8e-3 * PX) - 2
    for scan in scans("large", large(), paper):
        assert scan.dark[:edge].max() == scan.dark[-edge:].max() == 0
        assert scan.dark[:, :edge].max() == scan.dark[:, -edge:].max() == 0


@poppler
@pytest.mark.parametrize("topology", TOPOLOGIES)
def test_text_can_be_read_out(tmp_path, topology):
    pages = extracted(tmp_path, large(topology), "pdftotext", "-layout").split("\f")
    assert len(pages) == 1 + 6 + 1
    assert "NOT TO SCALE" in pages[0]
    assert all(f"Sheet {number}" in pages[0] for number in range(1, 7))
    for number, page in enumerate(pages[1:7]):
        assert TITLE in page
        assert f"Sheet {number + 1} of 6, column {number % 3 + 1} row {number // 3 + 1}" in page
        assert "Print at 100 % (“actual size”), never “fit to page”" in page
        assert "100 mm" in page
    assert "▶" in pages[1]
    assert "▼ sheet 4" in pages[1]
    assert "▲ sheet 1" in pages[4]
    everything = "".join(pages)
    assert all(word in everything for word in ("START", "FINISH", "Edges of the wound bundle"))


@poppler
def test_fonts_are_embedded_and_all_is_vector(tmp_path):
    fonts = extracted(tmp_path, lantern_layout(), "pdffonts").splitlines()[2:]
    assert fonts
    assert all(line.split()[3] == "yes" and "DejaVuSans" in line for line in fonts)
    assert len(extracted(tmp_path, lantern_layout(), "pdfimages", "-list").splitlines()) == 2  # its heading


def test_printers_are_told_not_to_scale():
    assert b"/PrintScaling /None" in pdf_bytes(draw_layout(lantern_layout()), title=TITLE)


def test_a_paper_that_nobody_has():
    with pytest.raises(ValueError, match="paper must be one of A4, Letter, was 'A9'"):
        pdf_bytes(draw_layout(lantern_layout()), "A9", title=TITLE)


@pytest.mark.parametrize("topology", TOPOLOGIES)
@pytest.mark.parametrize("paper", PAPERS)
def test_a_small_machine_takes_one_sheet(topology, paper):
    assert [p.name for p in template_pages(draw_layout(lantern_layout(topology)), PAPERS[paper], "")] == [
        "Overview",
        "Sheet 1",
    ]


@pytest.mark.parametrize("topology", TOPOLOGIES)
def test_sheets_are_joined_where_no_text_is_if_that_can_be(topology):
    pages = sheet_pages(large(topology))
    layers = pages[0].views[0].layers
    low, high = (drawing_bounds(Drawing(title="", layers=layers))[i] for i in (0, 1))
    cut = WINDOW_CORNER - pages[0].views[0].shift + 0.5 * OVERLAP * 1j  # lower edge of the upper row
    assert low.imag < cut.imag < high.imag
    struck = [z for z in text_boxes(layers) if z[0].imag < cut.imag + 5e-3 and z[1].imag > cut.imag - 5e-3]
    assert struck == []


def test_the_overview_is_never_at_full_size():
    pages = template_pages(draw_layout(lantern_layout(outer_diameter=0.05)), PAPERS["A4"], "")
    assert pages[0].views[0].scale <= 0.7
    assert [view.scale for page in pages[1:] for view in page.views] == [1.0]


@pytest.mark.slow
def test_two_processes_write_the_same_bytes():
    script = (
        "import hashlib; from layouts import lantern_layout; from geometry.drawing.layout_drawing import draw_layout; "
        "from geometry.writers.pdf import pdf_bytes; "
        "print(hashlib.sha256(pdf_bytes(draw_layout(lantern_layout()), title='T')).hexdigest())"
    )
    written = set()
    for seed in ("1", "2"):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join((".", "tests"))}
        run = subprocess.run([sys.executable, "-c", script], env=environment, check=True, capture_output=True)
        written.add(run.stdout)
    assert len(written) == 1


@pytest.mark.parametrize("title", ["", "A\nlong \x07 title " * 40, "发电机 🔋", "(a) \\ <b> %PDF", "\ud800"])
def test_any_title_is_written(title):
    written = pdf_bytes(draw_layout(lantern_layout(title=title)), title=title)
    assert written.startswith(b"%PDF-")
    assert written == pdf_bytes(draw_layout(lantern_layout(title=title)), title=title)
