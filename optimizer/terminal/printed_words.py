"""What the commands print for people: figures with units, reasons, faults."""

from __future__ import annotations

from pathlib import Path

from optimizer.brief.goal import GOALS
from optimizer.evaluation.figures import Figures
from optimizer.search.result import Entry, LimitGain, Result
from optimizer.terminal.answer import wrote
from optimizer.words.caution_words import caution_lines
from optimizer.words.kind_words import kind_words
from optimizer.words.load_words import watts_text
from optimizer.words.machine_words import (
    arrangement_words,
    coils_words,
    factor_words,
    line_words,
    magnets_in_all,
    phases_words,
)
from optimizer.words.steel_words import error_sentence, steel_sentence
from optimizer.words.wire_words import at_hand_words, beyond_words
from optimizer.words.wording import number, percent, signed_percent


def figure_lines(figures: Figures) -> list[str]:
    """One machine's figures, a line each."""
    magnet = figures.magnet
    sold = f"{magnet.grade}, " if magnet.grade else ""
    coils = f"{figures.coils} {figures.topology} coils in series, {figures.turns} turns each"
    if figures.coils == 1 or figures.phases > 1:
        coils = coils_words(figures)
    band = (
        f"{number(figures.resistance_min_ohm)} to {number(figures.resistance_max_ohm)} Ω by the wire standard"
    )
    each = " for each phase" if figures.phases > 1 else ""
    rows = [
        (
            "magnets",
            f"{magnets_in_all(figures)} {magnet.shape}s {magnet.size}, {sold}remanence {number(magnet.remanence_T)} T",
        ),
        (
            "",
            f"effective polarization {number(magnet.polarization_T)} T, {number(figures.magnet_mass_g)} g in all",
        ),
        ("pitch radius", f"{figures.pitch_radius_mm:g} mm"),
        ("coil", coils),
        (
            "",
            f"radii {figures.inner_radius_mm:g} to {figures.outer_radius_mm:g} mm, air gap {figures.air_gap_mm:g} mm",
        ),
        (
            "",
            f"bundle {figures.width_mm:g} mm wide, {figures.height_mm:g} mm high, "
            f"filled to {percent(figures.fill_factor)}",
        ),
        (
            "wire",
            f"{figures.wire_diameter_mm:g} mm, {number(figures.wire_length_m)} m in the turns, "
            f"{number(figures.copper_mass_g)} g of copper",
        ),
        ("", f"{beyond_words(figures)}: {number(figures.wire_needed_m)} m in all".replace("\u00a0", " ")),
        ("resistance", f"{number(figures.resistance_ohm)} Ω at 20 °C ({band})"),
        ("speed", f"{figures.speed_rpm:g} rpm, {number(figures.frequency_Hz)} Hz"),
        ("EMF, open circuit", f"{number(figures.emf_rms_V)} V rms, {number(figures.emf_peak_V)} V peak"),
        (
            "",
            f"{number(figures.emf_constant_V_per_krpm)} V rms per 1000 rpm, {number(figures.emf_per_root_ohm)} V/√Ω",
        ),
        (
            "best power",
            f"{number(figures.matched_power_W)} W into a load of {number(figures.resistance_ohm)} Ω{each}",
        ),
    ]
    rows += _family_rows(figures)
    if figures.attraction_N is not None:
        rows.append(("attraction", f"{number(figures.attraction_N)} N between the carriers"))
    rows += [("steel", text) for text in (steel_sentence(figures),) if text]
    rows += [("accuracy", text) for text in (error_sentence(figures),) if text]
    return [f"{name:<18} {value}" for name, value in rows]


def _family_rows(figures: Figures) -> list[tuple[str, str]]:
    """What three phases, second carriers and steel add."""
    rows: list[tuple[str, str]] = []
    if figures.phases > 1:
        rows.append(("line voltage", line_words(figures)))
        rows += [("" if at else "phases", text) for at, text in enumerate(phases_words(figures))]
        rows.append(("winding factor", ", ".join(factor_words(figures))))
        rows.append(("", "EMF and resistance are of phase A, wire, masses and best power of all"))
    around = arrangement_words(figures)
    rows += [("arrangement", around)] if around else []
    return [(name, value.replace("\u00a0", " ")) for name, value in rows]


def result_lines(result: Result, elapsed: float, folder: Path, names: list[str]) -> list[str]:
    """The answer of a search, for a terminal."""
    goal = GOALS[result.brief.goal]
    rate = f"{result.layouts_considered:,} layouts considered in {elapsed:.1f} s"
    lines = [
        result.brief.title,
        "",
        *caution_lines(result.hazards),
        *figure_lines(result.best.figures),
        *_at_hand(result),
        "",
        f"{goal.label} by number of magnets, {goal.unit}",
    ]
    best = goal.value(result.best.figures)
    for entry in result.by_magnet_count:
        value, figures = goal.value(entry.figures), entry.figures
        lines.append(
            f"  {figures.magnet_count:>3}  {number(value):<8} {signed_percent(value / best - 1):>8}  "
            f"{figures.topology}{_beside(result, entry)}"
        )
    lines += ["", f"{goal.label} by coil shape, {goal.unit}"]
    for entry in result.by_topology:
        value, figures = goal.value(entry.figures), entry.figures
        lines.append(
            f"  {figures.topology:<11} {number(value):<8} {signed_percent(value / best - 1):>8}  "
            f"{figures.magnet_count} magnets{_beside(result, entry)}"
        )
    lines += _phase_lines(result)
    lines += [
        "",
        "What holds it back",
        *(f"  {limit_words(limit)}" for limit in result.limits if limit.binds),
    ]
    if not any(limit.binds for limit in result.limits):
        lines.append("  no limit by itself: relaxing any one of them brings next to nothing")
    return [*lines, "", rate, wrote(folder, names)]


def _at_hand(result: Result) -> list[str]:
    """The wire at hand, where it is a limit, and what is kept of it."""
    if result.brief.length is None:
        return []
    return [f"{'wire at hand':<18} {at_hand_words(result.brief.length)}".replace("\u00a0", " ")]


def _beside(result: Result, entry: Entry) -> str:
    """A machine's kind of magnet, where there is more than one, and what the load of a search for one gets of it."""
    load = "" if entry.load_watts is None else f"load {watts_text(entry.load_watts)}"
    found = filter(None, (kind_words(result.brief, entry.layout), load))
    return "".join(f", {words}" for words in found).replace("\u00a0", " ")


def _phase_lines(result: Result) -> list[str]:
    """The goal by number of phases, when more than one was tried."""
    if not result.by_phases:
        return []
    goal = GOALS[result.brief.goal]
    best = goal.value(result.best.figures)
    lines = ["", f"{goal.label} by number of phases, {goal.unit}"]
    for entry in result.by_phases:
        value, figures = goal.value(entry.figures), entry.figures
        line = f", {number(figures.emf_line_rms_V)} V between terminals" if figures.phases > 1 else ""
        shape = f"{figures.topology}, {figures.coils} coils before {figures.magnet_count} magnets"
        shape += line + _beside(result, entry)
        lines.append(
            f"  {figures.phases:>3}  {number(value):<8} {signed_percent(value / best - 1):>8}  {shape}"
        )
    return lines


def limit_words(limit: LimitGain) -> str:
    """One limit and what relaxing it would bring."""
    unit = f" {limit.unit}" if limit.unit else ""
    said = f"{limit.key} {limit.was:.4g}{unit}: {limit.relaxed:.4g}{unit} would bring {signed_percent(limit.gain)}"
    return (
        said
        if limit.magnets is None or limit.key.endswith("quantity")
        else f"{said} with {limit.magnets} magnets"
    )
