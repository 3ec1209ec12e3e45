"""Warm magnets: the reversible loss in the figures, and a warning near their grade's limit wherever it is read."""

from dataclasses import replace

import pytest
from layouts import MAGNET, lantern_layout

from geometry.machine.layout import Layout
from geometry.stock.magnet import DiscMagnet
from optimizer.evaluation.chain import evaluate, figures_document
from optimizer.loads.hazards import layout_hazards
from optimizer.words.caution_words import caution_lines


def warm(temperature: float, grade: str = "N42") -> Layout:
    magnet = replace(DiscMagnet.of_grade(**MAGNET | {"grade": grade}), temperature=temperature)
    return lantern_layout(magnet=magnet)


def warnings(layout: Layout) -> list[str]:
    told = caution_lines(layout_hazards(evaluate(layout)))
    return [line for line in told if "HOT MAGNETS" in line]


def test_reversible_loss() -> None:
    """N42 loses 0.12 % of its remanence per kelvin, and the EMF with it."""
    cold, hot = evaluate(warm(20)), evaluate(warm(60))
    assert hot.emf_rms_V / cold.emf_rms_V == pytest.approx(1 - 0.0012 * 40, rel=1e-6)
    assert figures_document(hot)["magnet"]["temperature_C"] == hot.layout.carrier.magnet.temperature == 60


@pytest.mark.parametrize(
    ("grade", "temperature", "said"),
    [
        ("N42", 69.9, ""),
        ("N42", 70, "within 10 K of their limit: grade N42 may lose strength for good above 80 °C"),
        ("N52", 65, "within 5 K of their limit: grade N52 may lose strength for good above 70 °C"),
        ("N42", 81, "At 81 °C the magnets are too hot: grade N42 may lose strength for good above 80 °C"),
        ("Y30", 100, ""),
    ],
)
def test_a_warning_near_the_limit(grade: str, temperature: float, said: str) -> None:
    found = warnings(warm(temperature, grade))
    assert len(found) == (1 if said else 0)
    assert said in "".join(found)
