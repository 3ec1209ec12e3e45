"""A machine's figures as the page shows them, each with its unit; lengths in inches as well."""

from __future__ import annotations

from math import pi
from typing import TypeAlias

from geometry.layout import Layout
from optimizer.figures import Figures
from optimizer.wording import number, percent, quantity, size_mm

FigureRow: TypeAlias = dict[str, str]
SPACE = "\u00a0"
INCH = 25.4  # mm


def inches(value_mm: float) -> str:
    """A length in mm as inches, to a thousandth."""
    return f"{value_mm / INCH:.3f}{SPACE}in"


def figure_rows(layout: Layout, figures: Figures) -> list[FigureRow]:
    """Name, value and remark of each figure, the most wanted first; `inch` where the value is a length."""
    band = f"{number(figures.resistance_min_ohm)} to {quantity(figures.resistance_max_ohm, 'Ω')}"
    coils = f"{figures.coils} × {figures.turns} turns" if figures.coils > 1 else f"{figures.turns} turns"
    feet = f"{figures.wire_length_m / 0.3048:.1f}{SPACE}ft"
    pole_pitch = 2 * pi * figures.pitch_radius_mm / figures.magnet_count
    return [
        _row("Voltage", quantity(figures.emf_rms_V, "V"), "rms, open circuit"),
        _row("Peak", quantity(figures.emf_peak_V, "V"), "open circuit"),
        _row("Frequency", quantity(figures.frequency_Hz, "Hz"), f"at {number(figures.speed_rpm)}{SPACE}rpm"),
        _row(
            "Resistance",
            quantity(figures.resistance_ohm, "Ω"),
            f"at 20{SPACE}°C; {band} by the wire standard",
        ),
        _row(
            "Best power",
            quantity(figures.matched_power_W, "W"),
            f"into {quantity(figures.resistance_ohm, 'Ω')}",
        ),
        _row("Per 1000 rpm", quantity(figures.emf_constant_V_per_krpm, "V"), "rms"),
        _row(
            "Wire", quantity(figures.wire_length_m, "m"), f"of {figures.wire_diameter_mm:g}{SPACE}mm, in all"
        )
        | {"inch": feet},
        _row("Winding", f"{figures.coils} {figures.topology}", coils),
        _row(
            "Bundle filled", percent(figures.fill_factor), f"of at most {percent(layout.winding.fill_factor)}"
        ),
        _row("Pole pitch", size_mm(pole_pitch), "along the pitch circle") | {"inch": inches(pole_pitch)},
        _row("Copper", quantity(figures.copper_mass_g, "g")),
        _row("Magnets", quantity(figures.magnet_mass_g, "g"), f"{figures.magnet_count} together"),
    ]


def _row(name: str, value: str, remark: str = "") -> FigureRow:
    return {"name": name, "value": value, "remark": remark}
