"""The answers of a search, of a sweep and of a front, for JSON."""

from __future__ import annotations

from typing import Any

from optimizer.bounds.any_winding import WindingBound
from optimizer.brief.goal import GOALS
from optimizer.evaluation.chain import figures_document
from optimizer.search.result import Entry, LimitGain, Move, Result
from optimizer.surveys.front import PRICES, Front
from optimizer.surveys.sweeps import Sweep, plain_setting
from optimizer.words.caution_words import caution_document


def contract(result: Result, elapsed_s: float) -> dict[str, Any]:
    """What `polepitch optimize --json` prints; `elapsed_s`: time it took, s."""
    by_phases = [_entry_values(entry) for entry in result.by_phases]
    return {
        "cautions": caution_document(result.hazards),
        "best": _entry_values(result.best),
        "by_magnet_count": [_entry_values(entry) for entry in result.by_magnet_count],
        "by_topology": [_entry_values(entry) for entry in result.by_topology],
        **({"by_phases": by_phases} if by_phases else {}),
        **({"bound": _bound(result.bound)} if result.bound else {}),
        **({"spool": _spool(result)} if result.brief.spools else {}),
        "layouts_considered": result.layouts_considered,
        "elapsed_s": round(elapsed_s, 3),
    }


def result_document(result: Result) -> dict[str, Any]:
    """What `result.json` holds: no time and no date, so that the same brief gives the same bytes."""
    printed = contract(result, 0.0)
    del printed["elapsed_s"]
    goal = GOALS[result.brief.goal]
    return {
        "title": result.brief.title,
        "goal": goal.name,
        **({"load": result.load.as_dict()} if result.load else {}),
        **printed,
        "textbook": result.textbook and {
            **figures_document(result.textbook.entry.figures),
            "sizing_equation_V": result.textbook.sizing_equation_V,
        },
        "limits": [_plain(limit) for limit in result.limits],
        "audit": {
            "scan_best": _rounded(result.scan_best),
            "refined_best": goal.value(result.best.figures),
            "single_moves": [_plain(move) for move in result.moves],
        },
    }  # fmt: skip


def _entry_values(entry: Entry) -> dict[str, Any]:
    """The figures, and `load_W` of a search for a load."""
    load = {} if entry.load_watts is None else {"load_W": _rounded(entry.load_watts)}
    return figures_document(entry.figures) | load


def _spool(result: Result) -> dict[str, float] | None:
    """The spool that the best is wound from, by its number from 1; None where its wire is on none."""
    brief, figures = result.brief, result.best.figures
    number = brief.spool_for(figures.layout.winding.wire, figures.wire_needed_m)
    if number is None:
        return None
    length = brief.spools[number - 1].length
    return {"number": number, "length_m": _rounded(length), "left_m": _rounded(length - figures.wire_needed_m)}


def _bound(bound: WindingBound) -> dict[str, float]:
    return {name: float(f"{value:.4g}") for name, value in bound.as_dict().items()}


def _plain(row: LimitGain | Move) -> dict[str, Any]:
    values = {name: getattr(row, name) for name in row.__slots__}
    return {name: _rounded(value) if isinstance(value, float) else value for name, value in values.items()}


def _rounded(value: float) -> float:
    return float(f"{value:.6g}")


def sweep_document(sweep: Sweep) -> dict[str, Any]:
    """What is saved and printed as JSON."""
    keys = [axis.key for axis in sweep.axes]
    return {
        "title": sweep.brief.title,
        "goal": sweep.brief.goal,
        "fixed": sweep.fixed,
        "axes": [{"key": axis.key, "values": [plain_setting(v) for v in axis.values]} for axis in sweep.axes],
        "points": [
            {
                "at": dict(zip(keys, [plain_setting(value) for value in point.at], strict=True)),
                "fits": point.entry is not None,
                "reason": point.reason,
                "figures": point.entry and figures_document(point.entry.figures),
            }
            for point in sweep.points
        ],
        "layouts_considered": sweep.considered,
    }


def front_document(front: Front) -> dict[str, Any]:
    """What is saved and printed as JSON."""
    return {
        "title": front.brief.title,
        "against": PRICES[front.against].figure,
        "front": [figures_document(entry.figures) for entry in front.entries],
        "dominated": [figures_document(entry.figures) for entry in front.dominated],
    }
