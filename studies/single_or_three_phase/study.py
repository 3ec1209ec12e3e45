"""One phase or three, from the same twelve magnets, the same disc and the same wire?

Run with `python -m studies.single_or_three_phase.study`; `--search` looks for both layouts anew.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np

from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_text, read_layout
from optimizer.brief.brief import Brief, read_brief
from optimizer.evaluation.chain import evaluate
from optimizer.field.emf import machine_emf
from optimizer.search.search import optimize

HERE = Path(__file__).parent
LANTERN = HERE.parent / "lantern" / "brief.toml"
FILES = {1: HERE / "one_phase.toml", 3: HERE / "three_phases.toml"}
MAGNETS = 12
SAMPLES = 720  # over one electrical period


def brief(phases: int) -> Brief:
    """The lantern's, for most power, with twelve magnets and wedge coils."""
    lantern = read_brief(LANTERN)
    stock = tuple(replace(entry, quantity=MAGNETS) for entry in lantern.magnets)
    title = f"Lantern with twelve magnets, {'one phase' if phases == 1 else 'three phases'}"
    return replace(lantern, title=title, magnets=stock, topologies=("wedge",), goal="power", phases=(phases,))


def search() -> None:
    """Find both layouts anew and write them."""
    for phases, path in FILES.items():
        path.write_text(layout_text(optimize(brief(phases)).best.layout), encoding="utf-8")


def power_swing(layout: Layout) -> float:
    """Swing of the power into resistors on all phases over its mean; the torque swings alike."""
    angles = np.linspace(0, 2 * np.pi, SAMPLES, endpoint=False)
    power = np.sum([wave.at(angles) ** 2 for wave in machine_emf(layout).phases], axis=0)
    return float((power.max() - power.min()) / power.mean())


def rectified(layout: Layout) -> tuple[float, float]:
    """Mean and least voltage behind an ideal bridge over all terminals, open circuit, V."""
    angles = np.linspace(0, 2 * np.pi, SAMPLES, endpoint=False)
    line = machine_emf(layout).lines[0]
    shifts = (0.0,) if layout.phases == 1 else (0.0, 2 * np.pi / 3, -2 * np.pi / 3)
    behind = np.max([np.abs(line.at(angles + shift)) for shift in shifts], axis=0)
    return float(behind.mean()), float(behind.min())


def main() -> dict[str, float]:
    """Headline numbers: power, volts, swing of power and rectified voltage, with one phase and with three."""
    found: dict[str, float] = {}
    for phases, path in FILES.items():
        layout = read_layout(path)
        figures, (mean, minimum) = evaluate(layout), rectified(layout)
        found |= {
            f"power_W, {phases}": figures.matched_power_W,
            f"phase_V, {phases}": figures.emf_rms_V,
            f"line_V, {phases}": figures.emf_line_rms_V,
            f"coils, {phases}": figures.layout.coils,
            f"wire_m, {phases}": figures.wire_length_m,
            f"power_swing, {phases}": power_swing(layout),
            f"bridge_mean_V, {phases}": mean,
            f"bridge_least_V, {phases}": minimum,
        }
    return found


if __name__ == "__main__":
    if "--search" in sys.argv[1:]:
        search()
    for name, value in main().items():
        print(f"{name:<18} {value:.3g}")
