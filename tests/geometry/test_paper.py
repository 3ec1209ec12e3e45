import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.writers.paper import (
    MARGIN,
    OVERLAP,
    PAPERS,
    STRIP_BOTTOM,
    STRIP_LEFT,
    STRIP_RIGHT,
    STRIP_TOP,
    paper_named,
    tiled,
)

SIZES = st.floats(1e-3, 2.5)
SHARES = st.floats(0, 1)


def test_sizes_are_those_of_the_standards():
    """ISO 216 and ANSI Y14.1 (8.5 by 11 inches)."""
    a4, letter = PAPERS["A4"], PAPERS["Letter"]
    assert (a4.width, a4.height) == (0.210, 0.297)
    assert (letter.width, letter.height) == pytest.approx((8.5 * 0.0254, 11 * 0.0254), abs=1e-12)


@pytest.mark.parametrize("name", ["A4", "a4", " Letter", "LETTER"])
def test_papers_are_found_in_any_case(name):
    assert paper_named(name).name.lower() == name.strip().lower()


@pytest.mark.parametrize("name", ["A9", "", "folio", "A4x"])
def test_a_paper_that_nobody_has(name):
    with pytest.raises(ValueError, match=f"paper must be one of A4, Letter, was '{name}'"):
        paper_named(name)


def test_strips_leave_the_margin_that_printers_need():
    assert min(STRIP_LEFT, STRIP_RIGHT, STRIP_BOTTOM, STRIP_TOP) > MARGIN >= 8e-3


@given(SIZES, SIZES, st.sampled_from(list(PAPERS)), SHARES, SHARES)
def test_windows_cover_everything_with_the_fewest_sheets(width, height, name, x, y):
    low, size, paper = -0.3 + 0.2j, complex(width, height), PAPERS[name]
    tiling = tiled(low, low + size, paper, complex(x, y))
    corner = tiling.low
    assert corner.real <= low.real + 1e-8
    assert corner.imag <= low.imag + 1e-8
    assert tiling.high.real >= (low + size).real - 1e-8
    assert tiling.high.imag >= (low + size).imag - 1e-8
    fewer = complex(
        (tiling.columns - 1) * (paper.window.real - OVERLAP),
        (tiling.rows - 1) * (paper.window.imag - OVERLAP),
    )
    assert tiling.columns == 1 or fewer.real + OVERLAP < width
    assert tiling.rows == 1 or fewer.imag + OVERLAP < height


@given(SIZES, SIZES, st.sampled_from(list(PAPERS)))
def test_neighbours_share_the_overlap_and_the_cut_is_its_middle(width, height, name):
    paper = PAPERS[name]
    tiling = tiled(0j, complex(width, height), paper)
    sheets = {(s.column, s.row): s for s in tiling.sheets()}
    assert [s.number for s in tiling.sheets()] == list(range(1, tiling.count + 1))
    for (column, row), sheet in sheets.items():
        beside, below = sheets.get((column + 1, row)), sheets.get((column, row + 1))
        if beside:
            end = sheet.low.real + paper.window.real
            assert end - beside.low.real == pytest.approx(OVERLAP, abs=1e-9)
            assert tiling.cuts_x[column - 1] == pytest.approx((end + beside.low.real) / 2, abs=1e-9)
        if below:
            end = below.low.imag + paper.window.imag
            assert end - sheet.low.imag == pytest.approx(OVERLAP, abs=1e-9)
            assert tiling.cuts_y[-row] == pytest.approx((end + sheet.low.imag) / 2, abs=1e-9)


def test_what_fits_gets_one_sheet():
    for paper in PAPERS.values():
        assert tiled(0j, paper.window, paper).count == 1
        assert tiled(0j, paper.window + 1e-6, paper).count == 2
        assert tiled(0j, paper.window + 1e-6j, paper).count == 2


def test_room_left_over_lies_where_it_was_asked_for():
    paper = PAPERS["A4"]
    assert tiled(0j, 0.1 + 0.1j, paper, 0j).low == 0j
    right = tiled(0j, 0.1 + 0.1j, paper, 1 + 0.5j)
    assert right.low.real == pytest.approx(0.1 - paper.window.real)
    assert right.low.imag == pytest.approx((0.1 - paper.window.imag) / 2)
