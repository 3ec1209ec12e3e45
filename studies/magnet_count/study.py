"""How many 12 mm magnets should a carrier of 120 mm hold, and does the answer depend on the air gap?

Run with `python -m studies.magnet_count.study`.
"""

from __future__ import annotations

from pathlib import Path

from optimizer.surveys.sweeps import Sweep, read_axis, sweep

BRIEF = Path(__file__).parent / "brief.toml"
COUNTS = "carrier.count=8:24:9"
GAPS = ("1", "6")  # mm, beside the brief's


def main() -> dict[str, float]:
    """Headline numbers: the best count and its watts, what a third fewer magnets lose, the best count at other gaps."""
    swept = _swept()
    best, watts = _best(swept)
    few = max(count for count in _watts(swept) if count <= best * 2 / 3)
    return {
        "magnets": best,
        "matched_power_W": watts,
        f"loss with {few} magnets": 1 - _watts(swept)[few] / watts,
        "watts per gram of magnet, best": watts / _grams(swept, best),
        f"watts per gram of magnet, {few}": _watts(swept)[few] / _grams(swept, few),
        **{f"magnets at {gap} mm gap": _best(_swept(gap))[0] for gap in GAPS},
    }


def _swept(gap: str | None = None) -> Sweep:
    text = BRIEF.read_text("utf-8")
    if gap is not None:
        text = text.replace("air_gap_mm = 2\n", f"air_gap_mm = {gap}\n")
    return sweep(text, [read_axis(COUNTS)], name=str(BRIEF))


def _watts(swept: Sweep) -> dict[int, float]:
    entries = [point.entry for point in swept.points if point.entry]
    return {entry.layout.carrier.count: entry.figures.matched_power_W for entry in entries}


def _best(swept: Sweep) -> tuple[int, float]:
    return max(_watts(swept).items(), key=lambda pair: pair[1])


def _grams(swept: Sweep, count: int) -> float:
    return next(row["magnet_mass_g"] for row in swept.rows() if row["carrier.count"] == count)


if __name__ == "__main__":
    for name, value in main().items():
        print(f"{name:<34} {value:.3g}")
