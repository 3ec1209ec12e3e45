"""The search over rings, blocks and arcs: what it finds fits, is what `evaluate` says, and the scan saw it coming."""

import pytest

from geometry.fit.judge import overlaps
from geometry.fit.rules import violations
from optimizer.brief.brief import Brief, brief_from_text, brief_text
from optimizer.evaluation.chain import evaluate
from optimizer.scan.scan import scan
from optimizer.search.feasibility import explain
from optimizer.search.search import optimize

pytestmark = pytest.mark.search

TEXT = """
[space]
outer_diameter_mm = 110
bore_diameter_mm = 30
wall_mm = 2
air_gap_mm = 2
coil_height_mm = 4
[speed]
rpm = 400
[[magnets]]
{magnet}
thickness_mm = 4
grade = "N42"
quantity = 6
[wire]
diameters_mm = [0.25]
length_m = 60
[coil]
topologies = ["wedge"]
"""
MAGNETS = {
    "ring": 'shape = "ring"\ndiameter_mm = 18\nbore_mm = 6',
    "block": 'shape = "block"\nlength_mm = 20\nwidth_mm = 12',
    "arc": 'shape = "arc"\ninner_radius_mm = 28.01\nouter_radius_mm = 48\nangle_deg = 35',
}


def brief(shape: str) -> Brief:
    return brief_from_text(TEXT.format(magnet=MAGNETS[shape]), "brief.toml")


@pytest.mark.parametrize("shape", MAGNETS)
def test_the_winner_fits_and_is_no_worse_than_its_seed(shape: str) -> None:
    wanted = brief(shape)
    assert brief_from_text(brief_text(wanted), "again.toml") == wanted
    found = optimize(wanted)
    layout = found.best.layout
    assert not violations(layout)
    assert not overlaps(layout)
    assert evaluate(layout) == found.best.figures
    assert layout.carrier.count == 6
    assert found.best.figures.emf_rms_V >= 0.995 * max(start.value for start in scan(wanted).starts)
    if shape == "arc":  # midway between its radii, and not on the grid of hundredths
        assert layout.carrier.pitch_radius == 0.038005


def test_an_arc_too_wide_for_the_disc_is_told_by_its_radius() -> None:
    text = TEXT.format(magnet=MAGNETS["arc"]).replace("outer_radius_mm = 48", "outer_radius_mm = 56")
    reasons = explain(brief_from_text(text, "brief.toml"))
    changes = [change for reason in reasons for change in reason.changes]
    assert "magnets[1].outer_radius_mm" in [change.key for change in changes]
    (radius,) = [change.needed for change in changes if change.key.endswith("outer_radius_mm")]
    assert radius == 53  # the rim's radius less the wall


def test_a_shape_without_tables_is_searched_like_any_other() -> None:
    text = TEXT.format(magnet=MAGNETS["ring"]).replace('["wedge"]', '["racetrack"]')
    wanted = brief_from_text(text.replace("quantity = 6", "quantity = 12"), "brief.toml")
    found, starts = optimize(wanted), scan(wanted).starts
    layout = found.best.layout
    assert layout.winding.topology == "racetrack"
    assert not violations(layout)
    assert not overlaps(layout)
    assert evaluate(layout) == found.best.figures
    assert found.best.figures.emf_rms_V >= 0.995 * max(start.value for start in starts)
    assert {entry.layout.carrier.count for entry in found.by_magnet_count} >= {8, 10}


def test_briefs_try_the_usual_shapes_unless_they_name_others() -> None:
    text = TEXT.format(magnet=MAGNETS["ring"]).replace('[coil]\ntopologies = ["wedge"]\n', "")
    assert brief_from_text(text, "brief.toml").topologies == ("serpentine", "wedge", "round")
