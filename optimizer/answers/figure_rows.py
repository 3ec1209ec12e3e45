"""A machine's figures as the page shows them, each with its unit; lengths in inches as well."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi
from typing import TypeAlias

from geometry.machine.layout import Layout
from optimizer.building.phase_card import LIKE, each_words
from optimizer.evaluation.figures import Figures
from optimizer.words.caution_words import carrier_cautions
from optimizer.words.machine_words import (
    arrangement_words,
    factor_words,
    joined_words,
    line_words,
    load_words,
    magnets_in_all,
)
from optimizer.words.steel_words import error_sentence, share, steel_sentence
from optimizer.words.wire_words import beyond_words
from optimizer.words.wording import number, percent, quantity, size_mm

FigureRow: TypeAlias = dict[str, str]
SPACE = "\u00a0"
INCH = 25.4  # mm


def inches(value_mm: float) -> str:
    """A length in mm as inches, to a thousandth."""
    return f"{value_mm / INCH:.3f}{SPACE}in"


def figure_rows(layout: Layout, figures: Figures) -> list[FigureRow]:
    """Name, value and remark of each figure, the most wanted first.

    A row has `inch` where its value is a length, and `wide` where its remark is long.
    """
    return [
        *_voltage(figures),
        *_phases(figures),
        *_source(figures),
        *_made_of(layout, figures),
        *_around(layout, figures),
    ]


def _voltage(figures: Figures) -> Iterator[FigureRow]:
    of_phase = " of phase A" if figures.phases > 1 else ""
    yield _row("Voltage", quantity(figures.emf_rms_V, "V"), f"rms{of_phase}, open circuit")
    if figures.phases > 1:
        value = quantity(figures.emf_line_rms_V, "V")
        yield _row("Line voltage", value, line_words(figures).removeprefix(value).strip())
    yield _row("Peak", quantity(figures.emf_peak_V, "V"), f"{of_phase.strip()}, open circuit".lstrip(", "))
    yield _row("Frequency", quantity(figures.frequency_Hz, "Hz"), f"at {number(figures.speed_rpm)}{SPACE}rpm")


def _phases(figures: Figures) -> Iterator[FigureRow]:
    """What three phases add: whether they are alike, and how well the turns serve."""
    emfs = figures.phase_emf_rms_V
    if emfs is None:
        return
    alike = max(emfs) <= (1 + LIKE) * min(emfs)
    balance = "balanced" if alike else "not balanced: bundles farther from the magnets give less"
    yield _row("Phases", each_words(emfs, "each phase", "ABC"), f"{balance}; a third of a period apart")
    yield _row("Winding factor", *factor_words(figures))


def _source(figures: Figures) -> Iterator[FigureRow]:
    band = f"{number(figures.resistance_min_ohm)} to {quantity(figures.resistance_max_ohm, 'Ω')}"
    of_phase = "of a phase, " if figures.phases > 1 else ""
    yield _row(
        "Resistance",
        quantity(figures.resistance_ohm, "Ω"),
        f"{of_phase}at 20{SPACE}°C; {band} by the wire standard",
    )
    yield _row("Best power", quantity(figures.matched_power_W, "W"), f"into {load_words(figures)}")
    yield _row("Per 1000 rpm", quantity(figures.emf_constant_V_per_krpm, "V"), "rms")


def _made_of(layout: Layout, figures: Figures) -> Iterator[FigureRow]:
    coils = f"{figures.coils} × {figures.turns} turns" if figures.coils > 1 else f"{figures.turns} turns"
    joined = joined_words(figures) if figures.phases > 1 else ""
    feet = f"{figures.wire_length_m / 0.3048:.1f}{SPACE}ft"
    pole_pitch = 2 * pi * figures.pitch_radius_mm / figures.magnet_count
    wire = f"of {figures.wire_diameter_mm:g}{SPACE}mm, in the turns; {beyond_words(figures)}"
    filled = f"of at most {percent(layout.winding.fill_factor)}"
    magnet = figures.magnet
    yield _row("Wire", quantity(figures.wire_length_m, "m"), wire) | {"inch": feet}
    yield _row("Winding", f"{figures.coils} {figures.topology}", f"{coils}{joined}")
    yield _row("Bundle filled", percent(figures.fill_factor), filled)
    yield _row("Pole pitch", size_mm(pole_pitch), "along the pitch circle") | {"inch": inches(pole_pitch)}
    yield _row("Copper", quantity(figures.copper_mass_g, "g"))
    yield _row("Magnets", quantity(figures.magnet_mass_g, "g"), f"{magnets_in_all(figures)} together")
    effective = f"effective, of a remanence of {quantity(magnet.remanence_T, 'T')}"
    warm = (
        f" at 20{SPACE}°C, in use at {magnet.temperature_C:g}{SPACE}°C" if magnet.temperature_C != 20 else ""
    )
    yield _row("Polarization", quantity(magnet.polarization_T, "T"), effective + warm)


def _around(layout: Layout, figures: Figures) -> Iterator[FigureRow]:
    """Second carrier, second side, steel, and how far the field may be off, as the command line has them."""
    if figures.attraction_N is not None:
        yield _row("Attraction", quantity(figures.attraction_N, "N"), "between the carriers")
    if around := arrangement_words(figures):
        yield _row("Arrangement", figures.arrangement, around) | {"wide": "yes"}
    if steel := steel_sentence(figures):
        yield _row("Steel plate", size_mm(figures.plate_mm), steel) | {"wide": "yes"}
    if figures.field_error is not None and (error := error_sentence(figures)):
        yield _row("Accuracy", f"within {share(figures.field_error)}", error) | {"wide": "yes"}
    for caution in carrier_cautions(layout, figures):
        yield _row("Caution", caution.title, caution.text) | {"wide": "yes"}


def _row(name: str, value: str, remark: str = "") -> FigureRow:
    return {"name": name, "value": value, "remark": remark}
