"""A sweep and a front, for JSON."""

from __future__ import annotations

from typing import Any

from optimizer.evaluation.figures import figures_document
from optimizer.surveys.front import PRICES, Front
from optimizer.surveys.sweeps import Sweep, plain_setting


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
