"""Machines side by side, coil shapes like for like, and a rewinding with all its wires, for JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import isfinite
from typing import Any

from geometry.machine.speed import rpm_of
from optimizer.circuit.loads import Load
from optimizer.evaluation.chain import figures_document, plate_document
from optimizer.jobs.documents import rounded
from optimizer.loads.load_file import load_document
from optimizer.motors.comparison import ComparisonEntry
from optimizer.motors.motor import POLE_PAIRS
from optimizer.motors.rewinding import (
    LEAST_GAIN,
    Option,
    RewindBrief,
    gain,
    no_load_volts,
    old_coils,
    sweep,
    taps,
)
from optimizer.rigs.rig import Rig
from optimizer.surveys.like_for_like import DIGITS, LikeForLike
from optimizer.words.caution_words import caution_document
from optimizer.words.comparison_words import base_words, built_words, equal_words, finding_words, verdicts
from optimizer.words.rewind_words import headline, notes, rewind_hazards
from optimizer.words.wording import SPACE, plain


def entry_document(entry: ComparisonEntry, verdict: str) -> dict[str, Any]:
    """One machine for JSON and CSV; keys carry their units."""
    machine = entry.machine
    return {
        "name": machine.name,
        "kind": machine.kind,
        "built": built_words(machine),
        "rpm": entry.rpm,
        "open_V": entry.open_volts,
        "open_kind": entry.open_kind,
        "source_resistance_ohm": machine.ohms,
        "load_V": entry.volts,
        "load_kind": entry.load_kind,
        "load_W": entry.watts,
        "hand_W": entry.hand_watts,
        "hand_torque_Nm": entry.hand_torque,
        "hand_force_N": entry.hand_force,
        "efficiency": entry.efficiency,
        "useful_after_s": entry.useful_after,
        "cost": machine.cost,
        "currency": machine.currency or None,
        "mass_g": machine.mass * 1e3,
        "magnets": machine.magnets,
        "magnet_mass_g": machine.magnet_mass * 1e3,
        "copper_mass_g": machine.copper_mass * 1e3,
        "wire_length_m": machine.wire_length,
        "failure": entry.failure or None,
        "good_for": plain(verdict),
    }


def compare_document(
    entries: Sequence[ComparisonEntry], load: Load | None, rig: Rig | None, speed_rpm: float
) -> dict[str, Any]:
    """The whole comparison, at `speed_rpm` without a rig, for JSON."""
    rows = [entry_document(entry, verdict) for entry, verdict in zip(entries, verdicts(entries), strict=True)]
    document = {
        "cautions": [row for entry in entries for row in caution_document(entry.hazards, entry.machine.name)],
        "rig": rig.title if rig else None,
        "speed_rpm": None if rig else speed_rpm,
        "load": None if load is None else load_document(load),
        "machines": [
            row | {"plate": (figures := entry.machine.figures) and plate_document(figures)}
            for row, entry in zip(rows, entries, strict=True)
        ],
    }
    return rounded(document)


def like_for_like_document(comparison: LikeForLike) -> dict[str, Any]:
    """What is saved and printed as JSON."""
    return {
        "title": comparison.brief.title,
        "base": plain(base_words(comparison)),
        "best": figures_document(comparison.best.figures),
        "terms": [
            {
                "equal": term.equal,
                "how": plain(equal_words(comparison, term)),
                "finding": plain(finding_words(term)),
                "copper_mm3": _rounded(term.measure, 1e9) if term.equal == "copper" else None,
                "wire_m": _rounded(term.measure, 1) if term.equal == "wire" else None,
                "spread": float(f"{term.spread:.3g}"),
                "shapes": [{"shape": each.name, **each.row()} for each in term.shape_entries],
                "missing": list(term.missing),
            }
            for term in comparison.terms
        ],
        "layouts_considered": comparison.considered,
    }


def _rounded(value: float | None, scale: float) -> float | None:
    return None if value is None else float(f"{value * scale:.{DIGITS}g}")


def rewind_document(brief: RewindBrief, options: tuple[Option, ...], chosen: Option) -> dict[str, Any]:
    """All figures for JSON; keys carry their units."""
    motor, turning, old = brief.motor, brief.turning, old_coils(brief)
    brings = gain(old, chosen)
    document = {
        "title": motor.title,
        "cautions": caution_document(rewind_hazards(brief, chosen)),
        "found": {
            "coils": motor.coils, "turns": motor.turns, "wire_diameter_mm": motor.diameter * 1e3,
            "mean_turn_mm": motor.mean_turn * 1e3, "coil_resistance_ohm": motor.coil_resistance,
            "brush_resistance_ohm": motor.brush_resistance, "speed_constant_rpm_per_V": rpm_of(1 / motor.constant),
            "room_mm2": motor.room * 1e6, "reckoned": motor.reckoned, "volts": old[-1].volts,
            "resistance_ohm": old[-1].ohms, "best_power_W": old[-1].best_watts,
        },
        "turning": {
            "shaft_rpm": turning.shaft_rpm, "body_rpm": turning.body_rpm, "gear_ratio": turning.step_up,
            "relative_rpm": turning.relative_rpm, "frequency_Hz": POLE_PAIRS * turning.relative_rpm / 60,
        },
        "old_coils": [option_document(option) for option in old],
        "gain_over_old_coils": brings if isfinite(brings) else None, "leave_old_coils": brings < LEAST_GAIN,
        "best": option_document(chosen) | _volts_document(no_load_volts(chosen.armature, turning.relative_rpm)),
        "taps": [
            {
                "output": tap.armature.output, "volts": tap.volts, "alternating": tap.armature.alternating,
                "ohms": tap.ohms, "best_watts": tap.best_watts, "best_ohms": tap.best_ohms,
            }
            for tap in taps(brief, chosen)
        ],
        "sweep": [option_document(option) for option in options],
        "full_slot": [option_document(option) for option in sweep(brief, full=True)],
        "headline": headline(brief, chosen).replace(SPACE, " "),
        "notes": [note.replace(SPACE, " ") for note in notes(brief, chosen)],
    }  # fmt: skip
    return rounded(document)


def option_document(option: Option) -> dict[str, Any]:
    """One row of the sweep."""
    new = option.armature
    row = {
        "wire_diameter_mm": new.wire.diameter_mm, "turns": new.turns, "turns_ratio": new.turns_ratio,
        "room_share": new.room_share, "output": new.output, "volts": option.volts,
        "resistance_ohm": option.ohms,
        "volts_squared_per_ohm": option.volts**2 / option.ohms, "best_power_W": option.best_watts,
        "best_load_ohm": option.best_ohms,
        "load_volts": option.load_volts, "load_W": option.load_watts, "wire_length_m": new.wire_length,
        "copper_mass_g": new.copper_mass * 1e3, "coil_resistance_ohm": new.coil_resistance,
    }  # fmt: skip
    return rounded(row)


def _volts_document(volts: Mapping[str, float]) -> dict[str, Any]:
    return {
        "commutator_V": volts["commutator"], "phase_rms_V": volts.get("delta", volts.get("phase")),
        "star_line_rms_V": volts.get("star"), "delta_line_rms_V": volts.get("delta"),
        "star_bridge_V": volts.get("star-bridge"), "delta_bridge_V": volts.get("delta-bridge"),
    }  # fmt: skip
