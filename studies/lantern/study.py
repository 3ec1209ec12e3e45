"""How many of its sixteen magnets does the science club's lantern need, and which coil should it wind?

Run with `python -m studies.lantern.study`.
"""

from __future__ import annotations

from pathlib import Path

from optimizer.brief.brief import read_brief
from optimizer.search.result import Result
from optimizer.search.search import optimize

BRIEF = Path(__file__).parent / "brief.toml"


def main() -> dict[str, float]:
    """Headline numbers: volts of the winner, volts with twelve magnets, volts of each coil shape's best."""
    result = optimize(read_brief(BRIEF))
    return {
        "magnets": result.best.layout.carrier.count,
        "emf_rms_V": result.best.figures.emf_rms_V,
        "emf_rms_V with 12 magnets": _with(result, 12),
        **{f"emf_rms_V {entry.layout.winding.topology}": entry.figures.emf_rms_V for entry in result.by_topology},
    }


def _with(result: Result, count: int) -> float:
    return next(e.figures.emf_rms_V for e in result.by_magnet_count if e.layout.carrier.count == count)


if __name__ == "__main__":
    for name, value in main().items():
        print(f"{name:<28} {value:.3g}")
