"""Runs the finite elements and writes what they find: the table of plates and the checks on one machine.

Run with `python -m studies.steel_plate.study --recompute`; some ten minutes on one core. Needs ngsolve.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from optimizer.saturation import plate_needed
from studies.steel_plate.finite_elements import Fineness, solve
from studies.steel_plate.machines import SIZES, image_axis, image_flux, machine

TABLE = Path(__file__).parents[2] / "optimizer" / "saturation.csv"
CHECKS = Path(__file__).parent / "checks.csv"
MAIN = "12 of 20 × 5"
PLATES = {
    MAIN: (1.0, 1.5, 2.0, 3.0, 5.0),
    "12 of 20 × 5, wide plate": (1.0, 1.5, 2.0, 3.0, 5.0),
    "16 of 15 × 4": (0.75, 1.25, 1.8, 2.55, 3.55),
    "8 of 20 × 10": (1.35, 2.2, 3.1, 4.45, 6.2),
    "12 of 10 × 3": (0.4, 0.7, 0.95, 1.35, 1.9),
    "8 of 15 × 4, apart": (0.4, 0.7, 0.95, 1.35, 1.9),
    "6 of 25 × 5": (0.95, 1.6, 2.25, 3.2, 4.5),
    "12 of 20 × 5, facing": (1.0, 1.5, 2.0, 3.0, 5.0),
}  # mm
FINE = Fineness(near=0.08, order=3)


def plates() -> Iterator[dict[str, str]]:
    """One row for each machine and plate, no plate first: images beside finite elements."""
    for name in SIZES:
        needed = 1e3 * plate_needed(machine(name, 1.0))
        for plate in (0.0, *PLATES[name]):
            layout = machine(name, plate)
            found = solve(layout)
            yield {
                "machine": f'"{name}"',
                "needed_mm": f"{needed:.4f}",
                "plate_mm": f"{plate:g}",
                "images_uWb": f"{image_flux(layout) * 1e6:.4f}",
                "finite_elements_uWb": f"{found.flux * 1e6:.4f}",
                "images_axis_mT": f"{image_axis(layout) * 1e3:.3f}",
                "finite_elements_axis_mT": f"{found.axis * 1e3:.3f}",
            }


def checks() -> Iterator[dict[str, str]]:
    """The main machine without steel, with and without recoil permeability, and with a thick plate, flux and axis."""
    for plate in (0.0, 5.0):
        for recoil in (1.0, 1.05):
            layout = machine(MAIN, plate, recoil)
            found = solve(layout, FINE)
            yield {
                "plate_mm": f"{plate:g}",
                "recoil_permeability": f"{recoil:g}",
                "flux_uWb": f"{found.flux * 1e6:.4f}",
                "model_flux_uWb": f"{image_flux(layout) * 1e6:.4f}",
                "axis_mT": f"{found.axis * 1e3:.3f}",
                "model_axis_mT": f"{image_axis(layout) * 1e3:.3f}",
            }


def record() -> None:
    """Write both tables anew."""
    _write(CHECKS, checks(), "Twelve discs 20 x 5 mm on 40 mm: finite elements beside this project's model")
    _write(
        TABLE,
        plates(),
        "Flux of half a pole, field on its axis: finite elements (studies/steel_plate), images",
    )


def _write(path: Path, rows: Iterator[dict[str, str]], heading: str) -> None:
    found = []
    for row in rows:
        print(*row.values(), flush=True)
        found.append(row)
    lines = [f"# {heading}", ",".join(found[0]), *(",".join(row.values()) for row in found)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
