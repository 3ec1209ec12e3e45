"""Sweeps: keys judged by the brief's reader, points that are full searches or the winner again, tidy tables."""

import csv
import json
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from io import StringIO
from pathlib import Path

import pytest
import terminal
from briefs import SMALL_BRIEF
from tiers import shared

from geometry.files.reading import FileFaults
from geometry.files.writing import with_value
from optimizer.brief.brief import Brief, brief_from_text
from optimizer.charts.sweep_charts import axis_name, sweep_figures
from optimizer.documents.result_document import sweep_document
from optimizer.evaluation.chain import evaluate
from optimizer.plots.style import figure_png, finding
from optimizer.reports.answer_files import sweep_files
from optimizer.scan.scan import scan
from optimizer.search.result import Result
from optimizer.surveys.sweeps import Axis, Sweep, SweepFault, key_path, read_axis, sweep
from optimizer.terminal.printed_results import sweep_lines

pytestmark = pytest.mark.search


@shared
def swept_over(*axes: str) -> Sweep:
    return sweep(SMALL_BRIEF, [read_axis(axis) for axis in axes])


@pytest.fixture
def counts() -> Sweep:
    return swept_over("carrier.count=2:12:6")


@pytest.fixture
def gaps() -> Sweep:
    return swept_over("space.air_gap_mm=1,2.5,4", "coil.topologies=wedge,round")


def emfs(swept: Sweep) -> list[float]:
    return [point.entry.figures.emf_rms_V for point in swept.points if point.entry]


@pytest.mark.parametrize(
    ("written", "values"),
    [
        ("a.b_mm=0.5:3:6", ["0.5", "1", "1.5", "2", "2.5", "3"]),
        ("a=3:1:3", ["3", "2", "1"]),
        ("a=0:1:4", ["0", "0.333333", "0.666667", "1"]),
        ("a = 8, 10,12", ["8", "10", "12"]),
        ("magnets[2].grade=N35,N42", ["N35", "N42"]),
        ("a=1e-3", ["0.001"]),
    ],
)
def test_axes_are_read(written: str, values: list[str]):
    axis = read_axis(written)
    assert [f"{value:f}" if isinstance(value, Decimal) else value for value in axis.values] == values


@pytest.mark.parametrize(
    ("written", "words"),
    [
        (
            "space.air_gap_mm",
            "a sweep must be KEY=LOW:HIGH:COUNT or KEY=VALUE,VALUE,…, was 'space.air_gap_mm'",
        ),
        ("=1,2", "a sweep's key must be dotted, as space.air_gap_mm, was ''"),
        ("a[0]=1", "a sweep's key must be dotted"),
        ("a=1:2:1", "must be LOW:HIGH:COUNT, two numbers and a count from 2 to 100000, was 1:2:1"),
        ("a=x:2:3", "must be LOW:HIGH:COUNT"),
        ("a=1:2:-3", "must be LOW:HIGH:COUNT"),
        ("a=1,1.0", "a: the values must be distinct and at least one, were 1, 1"),
        ("a=2:2:3", "the values must be distinct"),
    ],
)
def test_axes_that_are_none_are_told(written: str, words: str):
    with pytest.raises(SweepFault) as fault:
        read_axis(written)
    assert words in str(fault.value)


def test_keys_count_entries_from_one():
    assert key_path("magnets[1].quantity") == ("magnets", 0, "quantity")
    assert key_path("space.air_gap_mm") == ("space", "air_gap_mm")


def test_setting_a_key_leaves_the_rest_as_it_is():
    text = (
        'title = "x"  # mine\n[space]\nair_gap_mm = 2 # here\n[[magnets]]\nquantity = 8\n[wire]\nd = [1, 2]\n'
    )
    assert with_value(text, ("space", "air_gap_mm"), Decimal("0.5")) == text.replace("= 2 #", "= 0.5 #")
    assert with_value(text, ("magnets", 0, "quantity"), Decimal(6)) == text.replace("= 8", "= 6")
    assert "d = [3]" in with_value(text, ("wire", "d"), Decimal(3))
    assert '[goal]\nmaximise = "power"' in with_value(text, ("goal", "maximise"), "power")
    for path in (("magnets", 1, "quantity"), ("title", "x"), ("space", 0, "x"), ("magnets", "quantity")):
        with pytest.raises(LookupError):
            with_value(text, path, "x")


@pytest.mark.parametrize(
    ("over", "words"),
    [
        (
            "space.air_gp_mm=1",
            "my.toml (space.air_gp_mm = 1):8: space.air_gp_mm: unknown key; did you mean air_gap_mm?",
        ),
        (
            "space.air_gap_mm=1,-1",
            "my.toml (space.air_gap_mm = -1):6: space.air_gap_mm: must be at least 0.1, was -1",
        ),
        ("coil.topologies=wegde", "coil.topologies[1]: must be one of serpentine, wedge, round, racetrack"),
        ("magnets[1].quantity=2.5", "magnets[1].quantity: must be a whole number"),
        (
            "magnets[2].quantity=2",
            "my.toml: magnets[2].quantity: must be a key of this file to be swept, was not there",
        ),
    ],
)
def test_the_reader_of_the_brief_judges_values(over: str, words: str):
    with pytest.raises(FileFaults) as faults:
        sweep(SMALL_BRIEF, [read_axis(over)], name="my.toml")
    assert words in str(faults.value)


def test_all_wrong_values_are_told_at_once():
    with pytest.raises(FileFaults) as faults:
        sweep(SMALL_BRIEF, [read_axis("space.air_gap_mm=-1,-2,1")], name="my.toml")
    assert [fault.message.rpartition(" ")[2] for fault in faults.value.faults] == ["-1", "-2"]


@pytest.mark.parametrize(
    ("axes", "words"),
    [
        ([], "must have one axis or two, was 0"),
        (["a=1", "b=1", "c=1"], "must have one axis or two, was 3"),
        (["a=1", "a=2"], "must differ, were both a"),
        (["carrier.count=7"], "carrier.count must be an even whole number from 2 to 1000, was 7"),
        (["carrier.count=many"], "carrier.count must be an even whole number from 2 to 1000, was many"),
    ],
)
def test_wrong_axes_are_told(axes: list[str], words: str):
    with pytest.raises(SweepFault) as fault:
        sweep(SMALL_BRIEF, [read_axis(written) for written in axes])
    assert words in str(fault.value)


def test_a_brief_and_its_text_are_swept_alike(small_brief: Brief):
    axis = Axis(key="space.air_gap_mm", values=(Decimal("3"),))
    assert emfs(sweep(small_brief, [axis])) == emfs(sweep(SMALL_BRIEF, [axis]))


def test_every_count_is_the_full_searchs(counts: Sweep, small_result: Result):
    searched = {entry.layout.carrier.count: entry.figures.emf_rms_V for entry in small_result.by_magnet_count}
    swept = {p.entry.layout.carrier.count: p.entry.figures.emf_rms_V for p in counts.points if p.entry}
    assert list(swept) == [2, 4, 6, 8]
    assert swept == pytest.approx(searched, rel=2e-3)


def test_points_that_fit_nothing_stay_with_their_reason(counts: Sweep):
    rows = counts.rows()
    assert [row["fits"] for row in rows] == [True] * 4 + [False] * 2
    assert [row["reason"] for row in rows] == [""] * 4 + [
        f"no layout with {n} magnets fits" for n in (10, 12)
    ]
    assert rows[5]["emf_rms_V"] is None
    assert {len(row) for row in rows} == {len(rows[0])}


def test_points_without_any_layout_tell_why():
    swept = sweep(SMALL_BRIEF, [read_axis("wire.peg_diameter_mm=60,3")])
    assert [point.entry is None for point in swept.points] == [True, False]
    assert "not one turn of wire fits" in swept.points[0].reason


def test_each_point_is_the_best_of_its_own_brief(gaps: Sweep):
    assert [tuple(map(str, point.at)) for point in gaps.points] == [
        (gap, shape) for gap in ("1", "2.5", "4") for shape in ("wedge", "round")
    ]
    for point in gaps.points:
        assert point.entry is not None
        gap, shape = point.at
        assert point.entry.layout.winding.topology == shape
        text = SMALL_BRIEF.replace("air_gap_mm = 2.5", f"air_gap_mm = {gap}").replace(
            '["wedge", "round"]', f'["{shape}"]'
        )
        grid = scan(brief_from_text(text, "own")).starts[0].value
        assert point.entry.figures.emf_rms_V > grid
        assert point.entry.layout.air_gap * 1e3 == float(gap)
    wedges = emfs(gaps)[::2]
    assert wedges == sorted(wedges, reverse=True)


def test_a_fixed_sweep_evaluates_the_winner_alone():
    axes = [read_axis("space.air_gap_mm=1,2.5,4")]
    fixed = sweep(SMALL_BRIEF, axes, fixed=True)
    (_, own, _) = [point.entry for point in fixed.points]
    assert own is not None
    for point in fixed.points:
        expected = evaluate(replace(own.layout, air_gap=float(point.at[0]) / 1e3))
        assert point.entry is not None
        assert point.entry.figures == expected
    assert all(
        free >= held * (1 - 1e-3)
        for free, held in zip(emfs(sweep(SMALL_BRIEF, axes)), emfs(fixed), strict=True)
    )


def test_a_fixed_sweep_takes_keys_of_the_layout():
    axes = [read_axis("operation.air_gap_mm=2,3"), read_axis("speed.rpm=250,500")]
    slow, fast, far, _ = [point.entry for point in sweep(SMALL_BRIEF, axes, fixed=True).points]
    assert slow is not None
    assert fast is not None
    assert far is not None
    assert fast.figures.emf_rms_V == pytest.approx(2 * slow.figures.emf_rms_V, rel=1e-8)
    assert (slow.layout.air_gap * 1e3, far.layout.air_gap * 1e3) == (2, 3)
    (wide,) = sweep(SMALL_BRIEF, [read_axis("winding.outer_radius_mm=45")], fixed=True).points
    assert wide.entry is None
    assert "the winding's outer radius must be at most the disc's 40 mm, was 45 mm" in wide.reason
    with pytest.raises(FileFaults, match="unknown key"):
        sweep(SMALL_BRIEF, [read_axis("wire.length_m=20,30")], fixed=True)


def test_tables_and_json_hold_the_same(counts: Sweep):
    files = sweep_files(counts)
    assert list(files) == ["sweep.json", "sweep.csv", "sweep.png", "sweep.svg"]
    table = list(csv.DictReader(StringIO(files["sweep.csv"].decode())))
    document = json.loads(files["sweep.json"])
    assert [float(row["carrier.count"]) for row in table] == [2, 4, 6, 8, 10, 12]
    for row, point in zip(table, document["points"], strict=True):
        assert row["fits"] == str(point["fits"])
        assert point["at"] == {"carrier.count": int(row["carrier.count"])}
        if point["fits"]:
            assert float(row["emf_rms_V"]) == point["figures"]["emf_rms_V"]
    assert document == sweep_document(counts)
    assert len(sweep_lines(counts)) == 7


def test_plots_say_what_they_show(counts: Sweep, gaps: Sweep):
    line, grid = sweep_figures(counts)["sweep"], sweep_figures(gaps)["sweep"]
    assert finding(line).startswith(f"{max(emfs(counts)):.3g}")
    assert "magnets: 8" in finding(line)
    assert line.axes[1].get_xlabel() == "magnets"
    assert "air gap 1\u00a0mm, topologies: " in finding(grid)
    assert [text.get_text() for text in grid.axes[0].texts] == [f"{value:#.3g}" for value in emfs(gaps)]
    assert figure_png(line)[:4] == b"\x89PNG"


def test_nothing_fits_anywhere_draws_nothing():
    swept = sweep(SMALL_BRIEF, [read_axis("carrier.count=20,22")])
    assert sweep_figures(swept) == {}
    assert list(sweep_files(swept)) == ["sweep.json", "sweep.csv"]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Callable[..., tuple[int, str, str]]:
    """Runs `polepitch sweep`: exit code, standard output, standard error."""
    return lambda *words: terminal.run(monkeypatch, capsys, "sweep", *words)


def test_the_command_resumes_and_writes(run: Callable[..., tuple[int, str, str]], tmp_path: Path):
    brief, journal = tmp_path / "brief.toml", tmp_path / "points.jsonl"
    brief.write_text(SMALL_BRIEF)
    words = [brief, "--over", "carrier.count=2,4", "--resume", journal, "--out", tmp_path / "out", "--json"]
    code, first, err = run(*words, "--workers", "2")
    assert code == 0, err
    assert run(*words)[:2] == (0, first)
    assert [point["figures"]["magnet_count"] for point in json.loads(first)["points"]] == [2, 4]
    assert len(journal.read_text().splitlines()) == 3
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == [
        "sweep.csv",
        "sweep.json",
        "sweep.png",
        "sweep.svg",
    ]
    code, _, err = run(brief, "--over", "carrier.count=2,6", "--resume", journal)
    assert code == 2
    assert "must be the journal of this very job" in err


def test_wrong_words_on_the_command_line_are_told(run: Callable[..., tuple[int, str, str]], tmp_path: Path):
    brief = tmp_path / "brief.toml"
    brief.write_text(SMALL_BRIEF)
    for words, told in (
        ((), "--over: must be given once or twice (or --front), was given 0 times"),
        (("--over", "carrier.count=3"), "--over: carrier.count must be an even whole number"),
        (("--over", "a=1", "--front", "wire"), "--front: must be given without --over"),
    ):
        code, _, err = run(brief, *words)
        assert code == 2
        assert told in err
        assert "Traceback" not in err


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("space.air_gap_mm", ("air gap", "mm")),
        ("magnets[2].diameter_mm", ("magnets 2: diameter", "mm")),
        ("magnets[1].temperature_C", ("magnets 1: temperature", "°C")),
        ("wire.fill_factor", ("fill factor", "")),
        ("speed.rpm", ("speed", "rpm")),
        ("carrier.count", ("magnets", "")),
        ("title", ("title", "")),
    ],
)
def test_plots_name_keys_in_words(key: str, words: tuple[str, str]) -> None:
    assert axis_name(key) == words
