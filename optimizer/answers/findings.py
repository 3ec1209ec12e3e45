"""Why a search's winner won, in the report's own words and numbers."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from optimizer.brief.goal import GOALS
from optimizer.search.result import Result
from optimizer.words.result_reasons import move_verdict, why_words
from optimizer.words.result_tables import count_rows, textbook_rows, topology_rows
from optimizer.words.wording import many, quantity, signed_percent


def findings(result: Result) -> dict[str, Any]:
    """Plain values: a sentence on the search, limits that bind and what relaxing each brings, and comparisons."""
    goal, why, book = GOALS[result.brief.goal], why_words(result), textbook_rows(result)
    value = quantity(goal.value(result.best.figures), goal.unit)
    return {
        "goal": goal.label,
        "unit": goal.unit,
        "sentence": f"{many(result.layouts_considered)} layouts were considered; the best gives {value}.",
        "moves": move_verdict(result),
        "binding": [asdict(row) for row in why.binding],
        "slack": list(why.slack),
        "textbook": book.verdict if book else None,
        "tables": {
            "count": [_cells(row) for row in count_rows(result)],
            "shape": [_cells(row) for row in topology_rows(result)],
        },
        "gains": [signed_percent(limit.gain) for limit in result.limits if limit.binds],
    }


def _cells(row: Any) -> list[str]:
    return [row.name, row.magnets, row.coils, row.wire, row.value, row.change, *filter(None, (row.load,))]
