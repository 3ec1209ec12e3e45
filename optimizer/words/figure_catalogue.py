"""The catalogue of a machine's figures: what each is called, its unit, what stands beside it, and in which order.

Terminal, page and reports show these rows and no others, each in its own dress.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import pi

from geometry.stock.magnet import UNKNOWN
from geometry.stock.wire_words import enamel_words, in_hand, wire_size
from optimizer.evaluation.chain import Figures, figure
from optimizer.words.machine_words import (
    ARRANGEMENTS,
    arrangement_words,
    band_words,
    beyond_words,
    coils_words,
    each_words,
    error_sentence,
    factor_words,
    joined_words,
    line_words,
    magnets_in_all,
    matched_load_words,
    phase_words,
    radii_words,
    share,
    spread_words,
    steel_sentence,
    strength_sentence,
)
from optimizer.words.wording import SPACE, percent, quantity, size_mm, unbroken

INCH, FOOT = 25.4, 0.3048  # mm, m
HEADLINE = ("emf_rms_V", "emf_line_rms_V", "emf_peak_V", "matched_power_W", "resistance_ohm", "wire_length_m")


@dataclass(frozen=True, slots=True)
class FigureRow:
    """One figure in words: what it is, its value with unit, and what is to be known of it.

    inch: a length in inches or feet, else empty.
    """

    key: str
    label: str
    value: str
    remark: str = ""
    inch: str = ""


@dataclass(frozen=True, slots=True)
class CatalogueEntry:
    """One figure of the catalogue.

    key: its name in `Figures`, or another where `value` gives it. unit: empty where the value is words. A machine that
    does not have it, whose value is None, is shown without it. mils: a diameter told beside it where lengths are in
    inches, in thousandths of one.
    """

    key: str
    label: str
    unit: str = ""
    remark: str | Callable[[Figures], str] = ""
    value: Callable[[Figures], float | str | None] | None = None
    mils: Callable[[Figures], float] | None = None

    def row(self, figures: Figures) -> FigureRow | None:
        """The figure of one machine; None where it does not apply."""
        value = self.value(figures) if self.value else figure(figures, self.key)
        if value is None:
            return None
        inch = ""
        if isinstance(value, str):
            words = value
        elif self.unit == "mm":
            words, inch = size_mm(value), f"{value / INCH:.3f}{SPACE}in"
        else:
            words = quantity(value, self.unit)
            inch = f"{value / FOOT:.1f}{SPACE}ft" if self.unit == "m" else ""
        if self.mils:
            inch += f" of {self.mils(figures):.3g}{SPACE}mil"
        remark = self.remark if isinstance(self.remark, str) else self.remark(figures)
        return FigureRow(self.key, self.label, words, remark, inch)


def machine_groups(figures: Figures) -> dict[str, tuple[FigureRow, ...]]:
    """All figures of a machine by heading, the most wanted first: what it gives, what to buy, to cut and to wind."""
    return {
        name: tuple(row for entry in entries if (row := entry.row(figures))) for name, entries in CATALOGUE.items()
    }


def headline_rows(figures: Figures) -> tuple[FigureRow, ...]:
    """The few figures that stand above all others."""
    return tuple(row for rows in machine_groups(figures).values() for row in rows if row.key in HEADLINE)


def build_sentence(figures: Figures) -> str:
    """What to build, in one sentence or two."""
    layout, magnet, around = figures.layout, figures.layout.carrier.magnet, arrangement_words(figures.layout)
    grade = f" ({f'grade {UNKNOWN}' if magnet.grade == UNKNOWN else magnet.grade})" if magnet.grade else ""
    each = " on each of two carriers" if layout.carrier.carriers > 1 else ""
    return (
        f"Set {layout.carrier.count} {magnet.shape} magnets{each}, {unbroken(magnet.size_label)}{grade}, north and"
        f" south in turn, on a circle of {size_mm(2 * layout.carrier.pitch_radius * 1e3)} diameter, and wind"
        f" {coils_words(layout)}, from "
        f"{wire_size(layout.winding.wire, SPACE)} enamelled wire.{f' Arrangement: {around}.' if around else ''}"
    )


def _enamel(figures: Figures) -> str:
    words = enamel_words(figures.layout.winding.wire, SPACE)
    return f"; {words}" if words else ""


def _the_turns(figures: Figures) -> str:
    return "the turns" if figures.layout.winding.wire.strands == 1 else "all strands of the turns"


def _turns_remark(figures: Figures) -> str:
    layout, strands = figures.layout, figures.layout.winding.wire.strands
    in_all = f"{layout.coils * layout.winding.turns} in all" if layout.coils > 1 else ""
    return ", ".join(filter(None, (in_all, f"each of {in_hand(strands)}" if strands > 1 else "")))


def _at_speed(figures: Figures) -> str:
    return f"at {figures.layout.speed_rpm:g}{SPACE}rpm"


def _magnets(figures: Figures) -> str:
    layout, magnet = figures.layout, figures.layout.carrier.magnet
    return f"{magnets_in_all(layout)} {magnet.shape}s of {unbroken(magnet.size_label)}"


def _magnet_grade(figures: Figures) -> str:
    magnet = figures.layout.carrier.magnet
    grade = f"grade {magnet.grade}" if magnet.grade else f"remanence {quantity(magnet.remanence, 'T')}"
    return f"{grade}, magnetized along the axis"


def _polarization(figures: Figures) -> str:
    magnet = figures.layout.carrier.magnet
    warm = f" at 20{SPACE}°C, in use at {magnet.temperature:g}{SPACE}°C" if magnet.temperature != 20 else ""
    return f"effective, of a remanence of {quantity(magnet.remanence, 'T')}{warm}"


def _together(figures: Figures) -> str:
    """How the coils are joined."""
    if figures.layout.phases > 1:
        return joined_words(figures.layout).removeprefix(" each, ")
    if figures.layout.topology.concentrated:
        return "in series, neighbours in opposite sense"
    return "once around the annulus for each turn"


def _plate_place(figures: Figures) -> str:
    each = ", one for each carrier" if figures.layout.carrier.carriers > 1 else ""
    return f"as wide as the carrier, behind the magnets{each}"


def _diameter(metres: float, count: int = 1) -> str:
    """A circle's diameter, from metres; count: of pieces alike."""
    return f"{'' if count == 1 else f'{count} of '}⌀{SPACE}{size_mm(metres * 1e3)}"


def _stack(figures: Figures) -> str | None:
    """The height of bundles that lie over one another."""
    layout = figures.layout
    return f"{size_mm(layout.stack_height * 1e3)} high in all" if layout.stacked else None


E = CatalogueEntry
CATALOGUE: dict[str, tuple[CatalogueEntry, ...]] = {
    "What it gives": (
        E("emf_rms_V", "Voltage", "V", lambda f: f"rms{phase_words(f.layout)}, open circuit, {_at_speed(f)}"),
        E(
            "emf_line_rms_V", "Line voltage", "V", line_words,
            value=lambda f: f.emf_line_rms_V if f.layout.phases > 1 else None,
        ),
        E(
            "phase_emf_rms_V", "Phases", remark=lambda f: f"{spread_words(f.phase_emf_rms_V)}; 120° apart",
            value=lambda f: each_words(f.phase_emf_rms_V, "each phase", "ABC") if f.phase_emf_rms_V else None,
        ),
        E("emf_peak_V", "Peak", "V", lambda f: f"{phase_words(f.layout)}, open circuit".lstrip(", ")),
        E("frequency_Hz", "Frequency", "Hz", _at_speed),
        E("emf_constant_V_per_krpm", "Per 1000 rpm", "V", lambda f: f"rms{phase_words(f.layout)}"),
        E("emf_per_root_ohm", "Per root ohm", "V/√Ω", "rms; the wire's size hardly changes it"),
        E("matched_power_W", "Matched-load power", "W", lambda f: f"into {matched_load_words(f)}"),
        E(
            "resistance_ohm", "Resistance", "Ω",
            lambda f: f"{'of a phase, ' if f.layout.phases > 1 else ''}at 20{SPACE}°C; "
            f"{band_words(f)} by the wire standard",
        ),
        E(
            "winding_factor", "Winding factor", remark=lambda f: factor_words(f)[1],
            value=lambda f: factor_words(f)[0] if f.layout.phases > 1 else None,
        ),
        E("attraction_N", "Attraction", "N", "between the carriers"),
        E(
            "plate_derating", "Steel", remark=steel_sentence,
            value=lambda f: None if f.plate_derating is None else f"{share(f.plate_derating)} of the volts",
        ),
        E(
            "emf_rms_V_band", "Strength", remark=strength_sentence,
            value=lambda f: f.emf_rms_V_band and f"{f.layout.carrier.magnet.remanence:.3g}{SPACE}T",
        ),
        E(
            "field_error", "Accuracy", remark=error_sentence,
            value=lambda f: None if f.field_error is None else f"within {share(f.field_error)}",
        ),
    ),
    "Buy": (
        E(
            "magnets", "Magnets", remark=_magnet_grade,
            value=_magnets,
        ),
        E("polarization_T", "Polarization", "T", _polarization, lambda f: f.polarization_T),
        E("magnet_mass_g", "Mass of the magnets", "g"),
        E(
            "wire_length_m", "Wire", "m",
            lambda f: f"of {wire_size(f.layout.winding.wire.strand, SPACE)} bare, in {_the_turns(f)}{_enamel(f)}",
            mils=lambda f: f.layout.winding.wire.diameter_mm / INCH * 1e3,
        ),
        E("wire_needed_m", "Wire to buy", "m", lambda f: f"enamelled copper, with {beyond_words(f)}"),
        E("copper_mass_g", "Mass of the copper", "g", "in the turns"),
    ),
    "Cut": (
        E(
            "outer_diameter_mm", "Carrier", remark="not of steel",
            value=lambda f: _diameter(f.layout.space.outer_diameter, f.layout.carrier.carriers),
        ),
        E(
            "arrangement", "Arrangement", remark=lambda f: ARRANGEMENTS[f.layout.carrier.arrangement],
            value=lambda f: f.layout.carrier.arrangement if f.layout.carrier.arrangement in ARRANGEMENTS else None,
        ),
        E("plate_mm", "Steel plate", "mm", _plate_place, lambda f: f.layout.carrier.plate * 1e3 or None),
        E(
            "bore_diameter_mm", "Bore", remark="kept clear for shaft and bearing",
            value=lambda f: _diameter(f.layout.space.bore_diameter),
        ),
        E(
            "pitch_radius_mm", "Pockets' pitch circle",
            remark=lambda f: f"{f.layout.carrier.count} pockets, equally spaced",
            value=lambda f: _diameter(2 * f.layout.carrier.pitch_radius),
        ),
        E(
            "pole_pitch_mm", "Pole pitch", "mm", "along the pitch circle",
            lambda f: 2 * pi * f.layout.carrier.pitch_radius * 1e3 / f.layout.carrier.count,
        ),
        E("air_gap_mm", "Air gap", "mm", "magnet face to nearest copper, any cover and its glue included"),
        E(
            "peg_diameter_mm", "Former's corners",
            remark=lambda f: "" if f.layout.topology.bends_about_pegs else "at least",
            value=lambda f: _diameter(2 * f.layout.winding.peg_radius),
        ),
    ),
    "Wind": (
        E("coils", "Coils", remark=_together, value=lambda f: f"{f.layout.coils} {f.layout.winding.topology}"),
        E(
            "turns", "Turns",
            remark=_turns_remark,
            value=lambda f: f"{f.layout.winding.turns} per coil",
        ),
        E(
            "inner_radius_mm", "Winding's radii", remark="insulation included",
            value=lambda f: radii_words(f.layout),
        ),
        E(
            "width_mm", "Bundle",
            remark=lambda f: f"wire with its enamel fills {percent(f.fill_factor)}, "
            f"of at most {percent(f.layout.winding.fill_factor)}",
            value=lambda f: f"{size_mm(f.layout.winding.width * 1e3)} wide, "
            f"{size_mm(f.layout.winding.height * 1e3)} high",
        ),
        E(
            "stack_height_mm", "Bundles", value=_stack,
            remark=lambda f: f"{f.layout.phases} phases, {f.layout.winding.stacking}; "
            "those farther from the magnets give less",
        ),
    ),
}  # fmt: skip
