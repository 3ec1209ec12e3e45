"""What does a millimetre of air gap cost, and what do a steel plate and a second carrier bring?

Run with `python -m studies.gap_and_steel.study`.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from geometry.machine.layout import Layout
from geometry.machine.layout_file import read_layout
from optimizer.evaluation.chain import Figures, evaluate

LAYOUT = Path(__file__).parent / "layout.toml"
STEPS_MM = (1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5)  # air gaps
PLATE_MM = 2.0
THIN_MM = 1.0
KINDS = {
    "plain": ("single", 0.0),
    "plate": ("single", PLATE_MM),
    "thin plate": ("single", THIN_MM),
    "facing": ("facing", 0.0),
    "facing, plates": ("facing", PLATE_MM),
}


def machine(kind: str, gap_mm: float) -> Layout:
    """The layout of this kind with this air gap, nothing else changed."""
    layout, (arrangement, plate_mm) = read_layout(LAYOUT), KINDS[kind]
    carrier = replace(layout.carrier, arrangement=arrangement, plate=plate_mm * 1e-3)
    return replace(layout, carrier=carrier, air_gap=gap_mm * 1e-3)


def table() -> dict[tuple[str, float], Figures]:
    """Figures of every kind of machine at every air gap."""
    return {(kind, gap): evaluate(machine(kind, gap)) for kind in KINDS for gap in STEPS_MM}


def main() -> dict[str, float]:
    """Headline numbers: volts of each kind, what a millimetre costs, what the plates must be, gap that a plate buys."""
    found = table()
    volts = {key: figures.emf_rms_V for key, figures in found.items()}
    plain, minimum = volts["plain", STEPS_MM[0]], STEPS_MM[0]
    headline = {f"{kind} V": volts[kind, minimum] for kind in KINDS}
    headline |= {
        f"{kind} loss per mm": 1 - volts[kind, 2.5] / volts[kind, minimum]
        for kind in ("plain", "plate", "facing")
    }
    for kind in ("plate", "thin plate", "facing, plates"):
        needed, derating = found[kind, minimum].plate_needed_mm, found[kind, minimum].plate_derating
        if needed is not None and derating is not None:
            headline |= {f"{kind} needed mm": needed, f"{kind} derating": derating}
    return headline | {"gap that a plate buys mm": _gap_with(volts, "plate", plain) - minimum}


def _gap_with(volts: dict[tuple[str, float], float], kind: str, wanted: float) -> float:
    """Air gap in mm at which a kind of machine gives the wanted volts, on a straight line between steps."""
    for low, high in pairwise(STEPS_MM):
        above, below = volts[kind, low], volts[kind, high]
        if above >= wanted >= below:
            return low + (high - low) * (above - wanted) / (above - below)
    return STEPS_MM[-1]


if __name__ == "__main__":
    for name, value in main().items():
        print(f"{name:<28} {value:.4g}")
