"""A layout with a load, at a speed and driven by hand, for JSON."""

from __future__ import annotations

from dataclasses import asdict
from math import isfinite
from typing import Any

from geometry.machine.speed import rad_s_of
from optimizer.evaluation.chain import plate_document
from optimizer.jobs.documents import rounded
from optimizer.loads.load_file import load_document
from optimizer.loads.load_study import LoadStudy, Matching, point_values
from optimizer.rigs.drive_run import DriveRun
from optimizer.words.caution_words import caution_document
from optimizer.words.draw_words import draw_values
from optimizer.words.drive_words import findings, volts_meaning
from optimizer.words.wording import plain


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


def run_document(run: DriveRun) -> dict[str, Any]:
    """The run as JSON, without its series."""
    document = {
        "title": run.rig.title,
        "cautions": caution_document(run.hazards),
        "seconds": run.seconds,
        "settled": {_unit_key(name): value for name, value in asdict(run.settled).items()},
        "asked_per_minute": run.rig.operator.cadence_per_minute,
        "reached_per_minute": run.settled.cadence_per_minute,
        "asked_rpm": run.asked_rpm,
        "volts_meaning": volts_meaning(run),
        "useful_volts_V": run.useful_volts,
        "useful_after_s": run.useful_after,
        "can_charge": run.charge_seconds is not None if run.rig.charge and run.rig.charge.needed else None,
        "charge_s": run.charge_seconds,
        "plate": run.figures and plate_document(run.figures),
        **run.details,
        **draw_values(run.draw),
        "load_J_per_minute": run.settled.load_watts * 60,
        "hand_J_per_minute": run.settled.hand_watts * 60,
        "hand_peak_force_N": max(stroke.peak_force for stroke in run.strokes),
        "hand_peak_torque_Nm": max(stroke.peak_force for stroke in run.strokes) * run.travel_per_radian,
        "hand_mean_torque_Nm": run.settled.mean_force * run.travel_per_radian,
        "coast_from_rpm": run.coast_rpm,
        "coast_s": run.coasts.loaded,
        "coast_useful_s": run.coast_useful_seconds,
        "coast_without_load_s": run.coasts.unloaded,
        "coast_least_s": run.coasts.shortest,
        "coast_most_s": run.coasts.longest,
        "inertia_kg_m2": run.inertia,
        "most_stored_J": run.most_stored,
        "top_rpm": run.top_rpm,
        "burst_rpm": run.burst_rpm if isfinite(run.burst_rpm) else None,
        "ended_at_burst": run.burst,
        "energies_J": {**asdict(run.energies), "imbalance": run.energies.imbalance},
        "strokes": [
            {_unit_key(name): value for name, value in asdict(stroke).items()} for stroke in run.strokes
        ],
        "findings": [plain(text) for text in findings(run)],
    }
    return rounded(document)


_UNITS = {"volts": "V", "amps": "A", "watts": "W", "joules": "J", "seconds": "s"}  # in place of the word
_UNITS_AFTER = {"force": "force_N", "start": "start_s", "end": "end_s"}  # behind it


def _unit_key(name: str) -> str:
    """A field's name with its unit: dc_volts as `dc_V`, hand_joules as `hand_J`, start as `start_s`."""
    stem, between, last = name.rpartition("_")
    units = _UNITS | _UNITS_AFTER if stem else _UNITS_AFTER
    return stem + between + units.get(last, last)
