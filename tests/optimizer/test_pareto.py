"""The Pareto front: nothing beats it, by brute force; every point the best of all that cost no more."""

import json
import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tiers import shared

from optimizer.brief.brief import Brief
from optimizer.charts.sweep_charts import front_figures
from optimizer.documents.result_document import front_document
from optimizer.evaluation.chain import Figures, evaluate
from optimizer.jobs.chunks import Run
from optimizer.plots.style import finding
from optimizer.reports.answer_files import front_files
from optimizer.scan.choices import layout_of
from optimizer.scan.scan import scan
from optimizer.search.result import Entry
from optimizer.surveys.front import PRICES, Front, non_dominated, pareto_front
from optimizer.terminal.printed_results import front_lines

pytestmark = pytest.mark.search

values = st.one_of(st.integers(0, 5).map(float), st.floats(0, 10))


def dominates(one: tuple[float, float], other: tuple[float, float]) -> bool:
    """Costs no more, gains no less, and is not the same."""
    return one[0] <= other[0] and one[1] >= other[1] and one != other


@given(st.lists(st.tuples(values, values), max_size=30))
def test_non_dominated_points_by_brute_force(points: list[tuple[float, float]]):
    kept = non_dominated(points)
    expected = [
        i
        for i, point in enumerate(points)
        if not any(dominates(other, point) for other in points) and point not in points[:i]
    ]
    assert kept == expected


@pytest.fixture(params=list(PRICES))
def front(request: pytest.FixtureRequest, small_brief: Brief) -> Front:
    return front_of(small_brief, request.param)


@shared
def front_of(brief: Brief, price: str) -> Front:
    return pareto_front(brief, price, points=5)


def coordinates(front: Front) -> list[tuple[float, float]]:
    return [(PRICES[front.against].of(entry.figures), entry.figures.emf_rms_V) for entry in front.entries]


def test_the_front_rises(front: Front):
    points = coordinates(front)
    assert len(points) >= 4
    assert points == sorted(points)
    assert [volts for _, volts in points] == sorted(volts for _, volts in points)
    assert non_dominated(points) == list(range(len(points)))


def test_what_is_left_out_is_beaten(front: Front):
    price = PRICES[front.against]
    for entry in front.dominated:
        beaten = price.of(entry.figures), entry.figures.emf_rms_V
        assert any(dominates(point, beaten) or point == beaten for point in coordinates(front))


@pytest.fixture(scope="module")
def others(small_brief: Brief) -> list[Figures]:
    """Layouts of scans under several limits, each with all its turns and with half of them."""
    found: list[Figures] = []
    for length in (4.0, 11.0, 30.0):
        limited = replace(small_brief, length=length)
        for start in scan(limited).starts[::7]:
            for turns in {start.turns, max(start.turns // 2, 1)}:
                found.append(evaluate(layout_of(limited, replace(start, turns=turns))))
    return found


def test_no_layout_of_the_scan_beats_the_front(front: Front, others: list[Figures]):
    points, price = coordinates(front), PRICES[front.against]
    assert len(others) > 30
    for figures in others:
        better = [p for p in points if price.of(figures) <= p[0] and figures.emf_rms_V > p[1] * 1.002]
        assert not better, (figures, better)


def test_the_front_ends_at_the_best_layout(front: Front, small_result):
    best = small_result.best.figures.emf_rms_V
    assert front.entries[-1].figures.emf_rms_V == pytest.approx(best, rel=2e-3)


def test_the_front_does_not_ask_for_the_goal(small_brief: Brief):
    power = pareto_front(replace(small_brief, goal="power"), "wire", points=2)
    assert coordinates(power) == coordinates(pareto_front(small_brief, "wire", points=2))


def test_a_front_resumes(tmp_path, small_brief: Brief):
    run = Run(journal=tmp_path / "journal")
    first = pareto_front(small_brief, "magnet_mass", run=run)
    seen: list[int] = []
    again = pareto_front(
        small_brief, "magnet_mass", run=replace(run, progress=lambda done, total: seen.append(done))
    )
    assert again == first
    assert seen[-1] == 4


def test_the_files_of_a_front(front: Front):
    files = front_files(front)
    assert list(files) == ["front.json", "front.csv", "front.png", "front.svg"]
    assert json.loads(files["front.json"]) == front_document(front)
    assert len(files["front.csv"].decode().splitlines()) == len(front.entries) + 1
    assert len(front_lines(front)) == len(front.entries) + 1
    figure = front_figures(front)["front"]
    assert PRICES[front.against].unit in figure.axes[0].get_xlabel()
    assert "layouts that none beats" in finding(figure).replace("\u00a0", " ")


def test_a_front_s_title_says_only_what_its_layouts_give(front: Front):
    """The cheaper layout it names is one of the front, told by its own share of the most volts."""
    words = finding(front_figures(front)["front"]).replace("\u00a0", " ")
    found = re.match(r"[\d.]+ V for [\d.]+ \S+; ([\d.]+) % of it for ([\d.]+) ", words)
    assert found, words
    share, cost = float(found[1]) / 100, float(found[2])
    named = [point for point in coordinates(front) if point[0] == pytest.approx(cost, rel=5e-3)]
    maximum = front.entries[-1].figures.emf_rms_V
    assert any(volts / maximum == pytest.approx(share, abs=0.006) for _, volts in named)
    nearest = min(abs(volts / maximum - 0.5) for _, volts in coordinates(front))
    assert abs(share - 0.5) == pytest.approx(nearest, abs=0.006)


def test_one_layout_alone_has_no_share_in_its_title(front: Front):
    alone = replace(front, entries=front.entries[-1:], dominated=())
    assert " of it for " not in finding(front_figures(alone)["front"]).replace("\u00a0", " ")


def test_beaten_is_in_the_legend_only_with_a_dot_that_shows(front: Front):
    def told(dominated: tuple[Entry, ...]) -> tuple[list[str], float]:
        axes = front_figures(replace(front, dominated=dominated))["front"].axes[0]
        return axes.get_legend_handles_labels()[1], axes.get_xlim()[1]

    assert "beaten" not in told(front.entries)[0]  # found again: under a mark of the front
    best, price = front.entries[-1], PRICES[front.against]
    costly = {price.figure: 1.5 * price.of(best.figures), "emf_rms_V": 0.8 * best.figures.emf_rms_V}
    labels, maximum = told((replace(best, figures=replace(best.figures, **costly)),))
    assert "beaten" in labels
    assert maximum > costly[price.figure]  # and within the picture


def test_wrong_questions_are_told(small_brief: Brief):
    with pytest.raises(ValueError, match="against must be one of resistance, magnet_mass, wire, was weight"):
        pareto_front(small_brief, "weight")
    with pytest.raises(ValueError, match="points must be at least 2, was 1"):
        pareto_front(small_brief, "wire", points=1)
