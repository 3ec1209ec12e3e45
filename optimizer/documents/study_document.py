"""A layout with a load, for JSON."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from geometry.machine.speed import rad_s_of
from optimizer.evaluation.figures import plate_document
from optimizer.jobs.documents import rounded
from optimizer.loads.load_file import load_document
from optimizer.loads.load_study import LoadStudy, point_values
from optimizer.loads.matching import Matching
from optimizer.words.caution_words import caution_document
from optimizer.words.draw_words import draw_values


def study_document(study: LoadStudy) -> dict[str, Any]:
    """The whole study: units in the names, seven significant digits."""
    point = point_values(study.point, study.details)
    return {
        "title": study.layout.title,
        "cautions": caution_document(study.hazards),
        "temperature_C": study.temperature,
        **{name: point[name] for name in ("shaft_W", "load_W", "eddy_W", "efficiency")},
        **rounded(draw_values(study.draw)),
        "plate": plate_document(study.figures),
        "source": _source_values(study),
        "load": load_document(study.load),
        "point": point | {"starts_at_rpm": rounded(study.cut_in_rpm)},
        "temperature_rise_K": None
        if study.burns
        else rounded(
            {"estimate": study.warming.rise, "least": study.warming.minimum, "most": study.warming.maximum}
        ),
        "enamel_bears_A": rounded(study.bearable_amps),
        "meters_V": rounded(asdict(study.meters)),
        "by_load": _curve_values(study),
        "by_speed": study.rows(),
        "by_wire": _matching_values(study.matching),
    }


def _source_values(study: LoadStudy) -> dict[str, Any]:
    numbers = {
        "emf_rms_V": study.source.emf_constant * rad_s_of(study.point.speed_rpm),
        "resistance_ohm": study.source.resistance,
        "terminal_resistance_ohm": study.source.terminal_resistance,
        "inductance_H": study.inductances.phase,
        "coil_inductance_H": study.inductances.coil,
        "coil_inductance_by_formula_H": study.formula.inductance,
        "mutual_inductance_H": study.source.mutual,
        "reactance_ohm": study.reactance,
        "skin_depth_mm": study.losses.skin_depth * 1e3,
        "skin_resistance_rise": study.losses.resistance_rise,
        "eddy_W": study.losses.eddy_watts,
    }
    words = {"formula": study.formula.name, "phases": study.source.phases}
    return rounded(numbers) | words | {"connection": study.source.connection or None}


def _curve_values(study: LoadStudy) -> dict[str, Any] | None:
    if (curve := study.curve) is None:
        return None
    unit = "ohm" if study.load.CURVE == "ohms" else "V"
    rows = [
        {f"load_{unit}": rounded(float(v))} | point_values(p)
        for v, p in zip(curve.values, curve.points, strict=True)
    ]
    return {f"best_{unit}": rounded(curve.best), "best": point_values(curve.best_point), "points": rows}


def _matching_values(matching: Matching) -> dict[str, Any]:
    rows = [
        {"wire_diameter_mm": choice.wire.diameter_mm, "turns": choice.turns}
        | rounded(
            {
                "wire_length_m": choice.length,
                "emf_rms_V": choice.emf_rms,
                "resistance_ohm": choice.resistance,
                "terminal_resistance_ohm": choice.terminal_resistance,
            }
        )
        | {"load_W": rounded(choice.point.load_watts)}
        for choice in matching.choices
    ]
    return {"best_wire_diameter_mm": matching.chosen.wire.diameter_mm, "wires": rows}
