"""Runs the finite elements and writes what they find: the table of plates and the checks on one machine.

Run with `python -m studies.steel_plate.study --recompute`; an hour or two on one core. Needs ngsolve.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from pathlib import Path

from geometry.machine.layout import Layout
from optimizer.field.steel import layout_proportions
from studies.steel_plate.finite_elements import Fineness, Solution, solve
from studies.steel_plate.machines import machine, model

TABLE = Path(__file__).parents[2] / "optimizer" / "field" / "saturation.csv"
CHECKS = Path(__file__).parent / "checks.csv"
MAIN = "12 of 20 × 5"
FINE = Fineness(near=0.08, order=3)
HEADING = "Flux of half a pole, field on its axis: magnets alone, all images, finite elements (studies/steel_plate)"


def plates() -> Iterator[dict[str, str]]:
    """Each row of the table again: the same machine and plate."""
    for row in recorded():
        layout = machine(row, float(row["plate_mm"]))
        yield {**row, **found(layout, solve(layout))}


def found(layout: Layout, solution: Solution) -> dict[str, str]:
    """The model's and the finite elements' columns of a row."""
    columns = (model(layout, 0.0), model(layout, 1.0), (solution.flux, solution.axis))
    names = ("alone", "images", "found")
    return {
        **{name: f"{float(value):.5g}" for name, value in asdict(layout_proportions(layout)).items()},
        **{f"{name}_uWb": f"{flux * 1e6:.4f}" for name, (flux, _) in zip(names, columns, strict=True)},
        **{f"{name}_axis_mT": f"{axis * 1e3:.3f}" for name, (_, axis) in zip(names, columns, strict=True)},
    }


def recorded() -> list[dict[str, str]]:
    """The table as it stands."""
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def checks() -> Iterator[dict[str, str]]:
    """The main machine without steel, with and without recoil permeability, and with a thick plate, flux and axis."""
    row = next(row for row in recorded() if row["machine"] == MAIN)
    for plate in (0.0, 5.0):
        for recoil in (1.0, 1.05):
            layout = machine(row, plate, recoil)
            solution, (flux, axis) = solve(layout, FINE), model(layout)
            yield {
                "plate_mm": f"{plate:g}",
                "recoil_permeability": f"{recoil:g}",
                "flux_uWb": f"{solution.flux * 1e6:.4f}",
                "model_flux_uWb": f"{flux * 1e6:.4f}",
                "axis_mT": f"{solution.axis * 1e3:.3f}",
                "model_axis_mT": f"{axis * 1e3:.3f}",
            }


def record() -> None:
    """Write both tables anew."""
    write(CHECKS, checks(), "Twelve discs 20 x 5 mm on 40 mm: finite elements beside this project's model")
    write(TABLE, plates(), HEADING)


def write(path: Path, rows: Iterator[Mapping[str, str]], heading: str) -> None:
    """Rows as CSV under a heading; each is printed as it comes."""
    lines = [f"# {heading}"]
    for row in rows:
        print(*row.values(), flush=True)
        lines += [",".join(row)] if len(lines) == 1 else []
        lines.append(",".join(f'"{value}"' if "," in value else value for value in row.values()))
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
