"""A rewinding as JSON: as found, as it turns, every wire, every way to tap it."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite
from typing import Any

from geometry.machine.speed import rpm_of
from optimizer.jobs.documents import rounded
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
from optimizer.words.caution_words import caution_document
from optimizer.words.rewind_words import headline, notes, rewind_hazards
from optimizer.words.wording import SPACE


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
