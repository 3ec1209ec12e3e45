"""A comparison for people and programs: table, headline, JSON, page and all files."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from optimizer.charts.compare_charts import compare_figures
from optimizer.circuit.loads import Load
from optimizer.evaluation.figures import plate_document
from optimizer.jobs.documents import csv_bytes, json_bytes, rounded
from optimizer.loads.load_file import load_document
from optimizer.motors.comparison import ComparisonEntry
from optimizer.reports.pages import page_files
from optimizer.rigs.rig import Rig
from optimizer.words.caution_words import caution_document
from optimizer.words.comparison_words import built_words, compare_cautions, named_cautions, verdicts
from optimizer.words.wording import SPACE


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
        "good_for": verdict.replace(SPACE, " "),
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


def compare_files(
    entries: Sequence[ComparisonEntry], load: Load | None, rig: Rig | None, speed_rpm: float
) -> dict[str, bytes]:
    """Name to bytes: `compare.json`, `compare.csv`, `compare.html`, plots as PNG and SVG."""
    document = compare_document(entries, load, rig, speed_rpm)
    pages = page_files(
        "compare.html",
        compare_figures(entries),
        entries=entries,
        load=load,
        rig=rig,
        speed_rpm=speed_rpm,
        bites=named_cautions(entries),
        cautions=compare_cautions(entries),
    )
    return {"compare.json": json_bytes(document), "compare.csv": csv_bytes(document["machines"]), **pages}
