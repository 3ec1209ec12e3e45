"""Which coil shape gives the most volts per root ohm from the same copper in front of the same magnets?

Run with `python -m studies.equal_copper.study`. The brief is the lantern's.
"""

from __future__ import annotations

from pathlib import Path

from optimizer.brief.brief import read_brief
from optimizer.surveys.like_for_like import compare_like_for_like

BRIEF = Path(__file__).parents[1] / "lantern" / "brief.toml"


def main() -> dict[str, float]:
    """Headline numbers: volts per root ohm, copper and hand motions of each shape on equal copper."""
    (term,) = compare_like_for_like(read_brief(BRIEF), ("copper",)).terms
    numbers: dict[str, float] = {"copper_mm3": (term.measure or 0) * 1e9, "copper differs by": term.spread}
    for each in term.shape_entries:
        numbers[f"emf_per_root_ohm {each.name}"] = each.emf_per_root_ohm
        numbers[f"harmonics {each.name}"] = each.entry.figures.emf_thd
        numbers[f"hand motions {each.name}"] = each.effort.motions
    return numbers


if __name__ == "__main__":
    for name, value in main().items():
        print(f"{name:<30} {value:.3g}")
