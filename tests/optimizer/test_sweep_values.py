"""A sweep shows the volts to be expected behind thin steel, and says so."""

from decimal import Decimal

import pytest
from briefs import SMALL_BRIEF
from layouts import lantern_layout

from optimizer.axes import Axis
from optimizer.brief import brief_from_text
from optimizer.evaluation import evaluate
from optimizer.plots.style import finding
from optimizer.plots.sweep_plots import sweep_figures
from optimizer.result import Entry
from optimizer.sweep import Sweep, SweepPoint
from optimizer.sweep_report import sweep_lines
from optimizer.sweep_values import goal_label, value_of


def over_plates(plates: tuple[str, ...], goal: str = "emf_rms") -> Sweep:
    made: list[SweepPoint] = []
    for plate in plates:
        layout = lantern_layout("wedge", plate=float(plate) * 1e-3)
        made.append(SweepPoint(at=(Decimal(plate),), entry=Entry(layout, evaluate(layout))))
    axis = Axis(key="rotor.plate_mm", values=tuple(Decimal(plate) for plate in plates))
    brief = brief_from_text(f'{SMALL_BRIEF}[goal]\nmaximise = "{goal}"\n', "brief")
    return Sweep(brief=brief, axes=(axis,), fixed=False, points=tuple(made))


@pytest.fixture(scope="module")
def plates() -> Sweep:
    return over_plates(("0.8", "6"))


@pytest.mark.parametrize(("goal", "power"), [("emf_rms", 1), ("power", 2)])
def test_thin_steel_takes_its_share(goal: str, power: int) -> None:
    swept = over_plates(("0.8",), goal)
    entry = swept.points[0].entry
    assert entry
    figures = entry.figures
    assert figures.plate_derating is not None
    whole = figures.emf_rms_V if goal == "emf_rms" else figures.matched_power_W
    assert value_of(swept)(figures) == pytest.approx(whole * figures.plate_derating**power, rel=1e-4)


def test_table_and_picture_show_what_is_expected(plates: Sweep) -> None:
    thin, thick = (value_of(plates)(point.entry.figures) for point in plates.points if point.entry)
    assert thin < 0.97 * thick
    lines, figure = sweep_lines(plates), sweep_figures(plates)["sweep"]
    assert f"{thin:.3g}" in lines[1]
    assert "steel leaves" in lines[1]
    assert "steel leaves" not in lines[2]
    assert "expected, with the steel's derating" in lines[-1]
    assert "expected, with the steel's derating" in figure.axes[0].get_ylabel()
    assert f"{thin:.3g}" in finding(figure)


def test_thick_steel_needs_no_words() -> None:
    swept = over_plates(("6",))
    assert goal_label(swept) == "EMF, V rms"
    assert len(sweep_lines(swept)) == 2
