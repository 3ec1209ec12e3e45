"""How thick must a steel plate behind the magnets be, and what does a thinner one leave?

Run with `python -m studies.steel_plate.study`; `--recompute` runs the finite elements again (needs ngsolve).
"""

from __future__ import annotations

import csv
import sys
from pathlib import Path

import numpy as np

from optimizer.field.steel import BANDS, FiniteElementRun, saturation_table

CHECKS = Path(__file__).parent / "checks.csv"
MAIN, WIDE, FACING = "12 of 20 × 5", "12 of 20 × 5, wide plate", "12 of 20 × 5, facing"


def image_error(machine: str, plate_mm: float) -> float:
    """Error of the flux by whole images against finite elements, a share."""
    _, images, found = _run(machine, plate_mm).flux
    return images / found - 1


def _run(machine: str, plate_mm: float) -> FiniteElementRun:
    return next(
        r for r in saturation_table() if r.machine == machine and abs(1e3 * r.plate - plate_mm) < 1e-6
    )


def _greatest(shape: str) -> float:
    """Greatest error of the volts with plates, a share."""
    return max(abs(run.error) for run in saturation_table() if run.plate and run.shape == shape)


def checks() -> dict[tuple[float, float], dict[str, float]]:
    """The recorded checks of the main machine, by plate thickness in mm and recoil permeability."""
    text = CHECKS.read_text(encoding="utf-8").splitlines()
    rows = [
        {k: float(v) for k, v in row.items()}
        for row in csv.DictReader(line for line in text if line[0] != "#")
    ]
    return {(row["plate_mm"], row["recoil_permeability"]): row for row in rows}


def recoil_cost(plate_mm: float, where: str) -> float:
    """What a recoil permeability of 1.05 costs by finite elements; `where` is "flux_uWb" or "axis_mT"."""
    found = checks()
    return 1 - found[plate_mm, 1.05][where] / found[plate_mm, 1.0][where]


def main() -> dict[str, float]:
    """Headline numbers from the recorded tables: shares but for the thicknesses in mm."""
    no_iron = checks()[0.0, 1.0]
    ignored = _run(WIDE, 0.0).flux[0] / _run(WIDE, 5.0).flux[2] - 1
    return {
        **{f"image error at {plate:g} mm": image_error(WIDE, plate) for plate in (1, 1.5, 2, 3, 5)},
        "error when the plate is ignored": ignored,
        "facing, image error at 1.5 mm": image_error(FACING, 1.5),
        "needed mm": 1.0 / float(np.asarray(_run(MAIN, 1.0).at.thickness)),
        "greatest error with discs": _greatest("disc"),
        "greatest error with blocks": _greatest("block"),
        "nine discs in ten within": BANDS["disc"],
        "no iron, error of the flux": no_iron["model_flux_uWb"] / no_iron["flux_uWb"] - 1,
        "no iron, error on the axis": no_iron["model_axis_mT"] / no_iron["axis_mT"] - 1,
        "recoil cost, flux": recoil_cost(0.0, "flux_uWb"),
        "recoil cost, axis": recoil_cost(0.0, "axis_mT"),
        "recoil cost with a plate, flux": recoil_cost(5.0, "flux_uWb"),
    }


if __name__ == "__main__":
    if "--recompute" in sys.argv[1:]:
        from studies.steel_plate.record import record

        record()
    for name, value in main().items():
        print(f"{name:<46} {value:.4g}")
