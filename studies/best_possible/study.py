"""How far is each coil shape from the best winding there could be, as the magnets, the air gap and the wire change?

Run with `python -m studies.best_possible.study`; every point is found by `python -m studies.best_possible.record`.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass, replace
from pathlib import Path

from geometry.machine.filaments import PHASE_END, phase_ends
from geometry.machine.layout import Layout
from optimizer.bounds.any_winding import WindingBound, winding_bound
from optimizer.bounds.proof import brief_bound
from optimizer.brief.brief import read_brief
from optimizer.evaluation.copper import wire_length
from optimizer.field.emf import machine_emf
from optimizer.jobs.chunks import one_thread
from optimizer.search.search import winner

FOLDER = Path(__file__).parent
BRIEF, SHARES = read_brief(FOLDER / "brief.toml"), FOLDER / "shares.csv"
MAGNETS = 12  # where the air gap or the wire changes
SWEEPS = {
    "magnets": (4, 6, 8, 10, 12, 14, 16, 18),
    "air_gap_mm": (0.6, 1.2, 2, 3, 4.5, 6),
    "wire_m": (5, 10, 20, 30, 50, 80, 120),
}
"""What changes, one at a time, and through which values."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The best machine of a coil shape, with what any winding could give past its magnets.

    at_hand: of all the wire that the brief allows; in_turns: of no more than this machine has in its own turns.
    """

    layout: Layout
    at_hand: WindingBound
    in_turns: WindingBound


@one_thread
def best(shape: str, varied: str = "magnets", value: float = MAGNETS) -> Found:
    """The best machine of a coil shape with one thing changed, of `SWEEPS` in its unit; raises NothingFits."""
    brief = replace(BRIEF, topologies=(shape,))
    if varied == "air_gap_mm":
        brief = replace(brief, air_gap=value * 1e-3)
    elif varied == "wire_m":
        brief = replace(brief, length=value)
    layout = winner(brief, int(value) if varied == "magnets" else MAGNETS)[0].layout
    emf = machine_emf(layout)
    in_turns = winding_bound(emf, wire_length(layout))
    return Found(layout=layout, at_hand=brief_bound(brief, emf), in_turns=in_turns)


def recorded() -> list[dict[str, str]]:
    """Of every machine found: what varied, its value, the shape, V, both shares of bounds and the grids' errors."""
    with SHARES.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def main() -> dict[str, float]:
    """Headline numbers: both shares of each shape, the grids' error, shares with little and much wire, V, harmonics.

    joints: what those of wedge coils take, m; harmonics: of the EMF of round coils, over its fundamental.
    """
    found = {shape: best(shape) for shape in BRIEF.topologies}
    ends = {
        (shape, wire): best(shape, "wire_m", wire) for shape in ("serpentine", "wedge") for wire in (5, 120)
    }
    return {
        **{f"share {shape}": each.at_hand.share for shape, each in found.items()},
        **{f"share of turns {shape}": each.in_turns.share for shape, each in found.items()},
        "greatest grid error": max(each.at_hand.grid_error for each in found.values()),
        **{f"share {shape}, {wire} m": each.at_hand.share for (shape, wire), each in ends.items()},
        "wedge V": found["wedge"].at_hand.share * found["wedge"].at_hand.emf_rms_V,
        "joints wedge, m": phase_ends(found["wedge"].layout) - 2 * PHASE_END,
        "harmonics round, 4 magnets": machine_emf(best("round", "magnets", 4).layout).phases[0].distortion,
    }


if __name__ == "__main__":
    for name, number in main().items():
        print(f"{name:<28} {number:.4g}")
