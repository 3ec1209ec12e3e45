"""Machines side by side, and coil shapes like for like, for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from optimizer.circuit.loads import Load
from optimizer.evaluation.figures import figures_document, plate_document
from optimizer.jobs.documents import rounded
from optimizer.loads.load_file import load_document
from optimizer.motors.comparison import ComparisonEntry
from optimizer.rigs.rig import Rig
from optimizer.surveys.like_for_like import DIGITS, LikeForLike
from optimizer.words.caution_words import caution_document
from optimizer.words.comparison_words import built_words, verdicts
from optimizer.words.like_for_like_words import base_words, equal_words, finding_words
from optimizer.words.wording import plain


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
    """The whole comparison for JSON."""
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
