"""The report's tables and sentences, from a result: every number rounded for people and with its unit."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.machine.layout import Layout
from optimizer.brief.goal import GOALS
from optimizer.evaluation.figures import Figures
from optimizer.search.result import Entry, Result
from optimizer.words.kind_words import kind_words
from optimizer.words.load_words import watts_text
from optimizer.words.machine_words import factor_words, joined_words, magnets_in_all
from optimizer.words.wire_words import beyond_words
from optimizer.words.wording import (
    compared,
    number,
    percent,
    plural,
    quantity,
    signed_percent,
    size_mm,
    unbroken,
)

SPACE = "\u00a0"


@dataclass(frozen=True, slots=True)
class Row:
    """A line of a table: what, its value with unit, and a remark."""

    name: str
    value: str
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """Rows of a table under one heading."""

    name: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class EntryRow:
    """One machine in a table of machines. `best` marks the winner. load: what the load of a search for one gets."""

    name: str
    magnets: str
    coils: str
    wire: str
    value: str
    change: str
    best: bool
    load: str = ""


def build_rows(layout: Layout, figures: Figures) -> list[Group]:
    """What to buy, cut and wind."""
    return [
        Group("Buy", _buy(layout, figures)),
        Group("Cut", _cut(layout, figures)),
        Group("Wind", _wind(layout, figures)),
    ]


def _buy(layout: Layout, figures: Figures) -> tuple[Row, ...]:
    magnet = figures.magnet
    grade = f"grade {magnet.grade}" if magnet.grade else f"remanence {quantity(magnet.remanence_T, 'T')}"
    return (
        Row(
            f"{magnet.shape.capitalize()} magnets",
            f"{magnets_in_all(figures)} of {unbroken(magnet.size)}",
            f"{grade}, magnetized along the axis",
        ),
        Row("Mass of the magnets", quantity(figures.magnet_mass_g, "g")),
        Row(
            "Enamelled copper wire",
            quantity(figures.wire_needed_m, "m"),
            f"{quantity(figures.wire_length_m, 'm')} in the turns, {beyond_words(figures)}",
        ),
        Row("Wire size", f"{figures.wire_diameter_mm:g}{SPACE}mm", "bare copper"),
        Row("Mass of the copper", quantity(figures.copper_mass_g, "g")),
    )


def _plate_rows(layout: Layout) -> tuple[Row, ...]:
    if not layout.carrier.plate:
        return ()
    thick = f"{size_mm(layout.carrier.plate * 1e3)} thick"
    each = "behind the magnets" + (", one for each carrier" if layout.carrier.carriers > 1 else "")
    return (Row("Steel plate", thick, f"as wide as the carrier, {each}"),)


def _cut(layout: Layout, figures: Figures) -> tuple[Row, ...]:
    space = layout.space
    disc = ("2 of " if layout.carrier.carriers > 1 else "") + f"⌀ {size_mm(space.outer_diameter * 1e3)}"
    return (
        Row("Carrier disc" if layout.carrier.carriers == 1 else "Carrier discs", disc, "not of steel"),
        *_plate_rows(layout),
        Row("Bore", f"⌀ {size_mm(space.bore_diameter * 1e3)}", "kept clear for shaft and bearing"),
        Row(
            "Pockets' pitch circle",
            f"⌀ {size_mm(2 * figures.pitch_radius_mm)}",
            f"{figures.magnet_count} pockets, equally spaced",
        ),
        Row("Air gap", size_mm(figures.air_gap_mm), "magnet face to nearest copper, any cover and its glue included"),
        Row("Former's corners", f"⌀ {size_mm(2e3 * layout.winding.peg_radius)}", "at least"),
    )


def _wind(layout: Layout, figures: Figures) -> tuple[Row, ...]:
    together = (
        "in series, neighbours in opposite sense"
        if layout.topology.concentrated
        else "once around the annulus for each turn"
    )
    if figures.phases > 1:
        together = joined_words(figures).strip().removeprefix("each, ")
    bundle = f"{size_mm(figures.width_mm)} wide, {size_mm(figures.height_mm)} high"
    return (
        Row("Coils", f"{figures.coils} {figures.topology}", together),
        Row(
            "Turns",
            f"{figures.turns} per coil",
            f"{figures.coils * figures.turns} in all" if figures.coils > 1 else "",
        ),
        Row(
            "Winding's radii",
            f"{size_mm(figures.inner_radius_mm)} to {size_mm(figures.outer_radius_mm)}",
            "insulation included",
        ),
        Row("Bundle", bundle, f"wire with its enamel fills {percent(figures.fill_factor)}"),
        *_phase_rows(layout, figures),
        Row(
            "Resistance of a phase" if figures.phases > 1 else "Resistance",
            quantity(figures.resistance_ohm, "Ω"),
            f"{band(figures)} by the wire standard, at 20{SPACE}°C",
        ),
    )


def _phase_rows(layout: Layout, figures: Figures) -> tuple[Row, ...]:
    """What three phases add."""
    if figures.phases == 1:
        return ()
    factor = Row("Winding factor", *factor_words(figures))
    volts = f"{quantity(figures.emf_line_rms_V, 'V')} rms"
    line = Row("Line voltage", volts, f"between terminals, {figures.connection}")
    if layout.topology.concentrated:
        return (line, factor)
    stack = f"{size_mm(layout.stack_height * 1e3)} high in all"
    each = " / ".join(number(emf) for emf in figures.phase_emf_rms_V or ())
    _, second, third = figures.line_emf_rms_V or ("", 0.0, 0.0)
    others = f"B and C {quantity(second, 'V')}, C and A {quantity(third, 'V')}"
    line = Row("Line voltage", line.value, f"between terminals A and B, {figures.connection}; {others}")
    volts = Row("Phase voltages", f"{each}{SPACE}V rms", "A / B / C: bundles farther from the magnets give less")
    return (Row("Bundles", stack, f"{layout.phases} phases, {layout.winding.stacking}"), volts, line, factor)


def band(figures: Figures) -> str:
    """The resistances that the wire standard's tolerance allows."""
    return f"{number(figures.resistance_min_ohm)} to {quantity(figures.resistance_max_ohm, 'Ω')}"


def count_rows(result: Result) -> list[EntryRow]:
    """The best machine of each magnet count."""
    return [_entry_row(str(entry.figures.magnet_count), entry, result) for entry in result.by_magnet_count]


def topology_rows(result: Result) -> list[EntryRow]:
    """The best machine of each coil shape."""
    return [_entry_row(entry.figures.topology, entry, result) for entry in result.by_topology]


def phase_rows(result: Result) -> list[EntryRow]:
    """The best machine of each number of phases; none when only one number was tried."""
    return [
        _entry_row(plural(entry.figures.phases, "phase"), entry, result)
        for entry in result.by_phases
    ]


def phase_verdict(result: Result) -> str:
    """What three phases bring or cost beside one; empty when not both were found."""
    found = {entry.figures.phases: entry.figures for entry in result.by_phases}
    if not {1, 3} <= found.keys():
        return ""
    one, three = found[1], found[3]
    line = (
        f"joined in {three.connection} it has {quantity(three.emf_line_rms_V, 'V')} rms between terminals, against "
        f"{quantity(one.emf_rms_V, 'V')} rms of the single phase"
    )
    power = compared(three.matched_power_W, one.matched_power_W, "power", "one phase")
    emf = compared(three.emf_rms_V, one.emf_rms_V, "EMF in each phase", "one phase")
    return f"The best machine of three phases gives {emf} and, all phases together, {power}; {line}."


def _entry_row(name: str, entry: Entry, result: Result) -> EntryRow:
    goal, figures = GOALS[result.brief.goal], entry.figures
    value, best = goal.value(figures), goal.value(result.best.figures)
    magnet = unbroken(kind_words(result.brief, entry.layout) or figures.magnet.size)
    shape = "" if name == figures.topology else f"{figures.topology}, "
    return EntryRow(
        name=name,
        magnets=magnet if shape else f"{figures.magnet_count} of {magnet}",
        coils=f"{shape}{figures.coils} × {figures.turns}",
        wire=_wire(figures),
        value=quantity(value, goal.unit),
        change="best" if entry == result.best else signed_percent(value / best - 1),
        best=entry == result.best,
        load="" if entry.load_watts is None else watts_text(entry.load_watts),
    )


@dataclass(frozen=True, slots=True)
class TextbookWords:
    """The textbook layout beside the winner: a table of three columns, and what it shows."""

    verdict: str
    rows: tuple[tuple[str, str, str], ...]


def textbook_rows(result: Result) -> TextbookWords | None:
    """The textbook layout beside the winner; None when no such layout fits."""
    book = result.textbook
    if book is None:
        return None
    naive, best = book.entry.figures, result.best.figures
    rows = (
        ("EMF promised by the sizing equation", f"{quantity(book.sizing_equation_V, 'V')} rms", "–"),
        ("EMF really given", f"{quantity(naive.emf_rms_V, 'V')} rms", f"{quantity(best.emf_rms_V, 'V')} rms"),
        ("Best power", quantity(naive.matched_power_W, "W"), quantity(best.matched_power_W, "W")),
        ("Magnets", _magnets(naive), _magnets(best)),
        ("Coils", _coils(naive), _coils(best)),
        ("Pitch radius", size_mm(naive.pitch_radius_mm), size_mm(best.pitch_radius_mm)),
        ("Winding's radii", _radii(naive), _radii(best)),
        ("Bundle, width × height", _bundle(naive), _bundle(best)),
        ("Wire", _wire(naive), _wire(best)),
    )
    verdict = (
        "That layout gives"
        f" {compared(naive.emf_rms_V, book.sizing_equation_V, 'EMF', 'the sizing equation promises')}. The"
        f" layout found here gives {compared(best.emf_rms_V, naive.emf_rms_V, 'EMF', 'the textbook layout')},"
        f" and {compared(best.matched_power_W, naive.matched_power_W, 'power', 'the textbook layout')} into a"
        " matched load."
    )
    if book.entry.layout.carrier.magnet != result.best.layout.carrier.magnet:
        verdict += f" Their magnets differ: {_magnets(naive)} there, {_magnets(best)} here."
    return TextbookWords(verdict, rows)


def _magnets(figures: Figures) -> str:
    grade = f", {figures.magnet.grade}" if figures.magnet.grade else ""
    return f"{magnets_in_all(figures)} of {unbroken(figures.magnet.label)}{grade}"


def _coils(figures: Figures) -> str:
    return f"{figures.coils} {figures.topology} × {figures.turns} turns"


def _radii(figures: Figures) -> str:
    return f"{size_mm(figures.inner_radius_mm)} to {size_mm(figures.outer_radius_mm)}"


def _bundle(figures: Figures) -> str:
    return f"{size_mm(figures.width_mm)} × {size_mm(figures.height_mm)}"


def _wire(figures: Figures) -> str:
    length, resistance = quantity(figures.wire_length_m, "m"), quantity(figures.resistance_ohm, "Ω")
    return f"{figures.wire_diameter_mm:g}{SPACE}mm, {length}, {resistance}"
