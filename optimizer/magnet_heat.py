"""Magnets near the heat that their grade bears, in words."""

from __future__ import annotations

from geometry.grades import GRADES
from optimizer.figures import MagnetFigures

NEAR = 10.0  # K below the grade's limit: makers' limits hold for one shape, and a magnet's own differs
SPACE = "\u00a0"


def heat_sentence(magnet: MagnetFigures) -> str | None:
    """What to fear at the magnets' temperature; None more than 10 K below their grade's limit, and without a grade.

    Within the limit a magnet is only weaker while it is warm; beyond it, it stays weaker.
    """
    row = GRADES.get(magnet.grade or "")
    if row is None or magnet.temperature_C < row.max_temperature - NEAR:
        return None
    limit = f"grade {row.name} may lose strength for good above {row.max_temperature:g}{SPACE}°C"
    if magnet.temperature_C > row.max_temperature:
        return f"at {magnet.temperature_C:g}{SPACE}°C the magnets are too hot: {limit}, which no figure here counts"
    left = row.max_temperature - magnet.temperature_C
    return f"at {magnet.temperature_C:g}{SPACE}°C the magnets are within {left:g}{SPACE}K of their limit: {limit}"
