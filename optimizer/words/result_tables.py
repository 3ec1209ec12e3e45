"""The machines of a search beside one another: every number rounded for people and with its unit; why the best one won.

Where a brief has several kinds of magnet, a letter tells them apart: A for its first `[[magnets]]` table.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from string import ascii_uppercase
from typing import NamedTuple

from geometry.machine.layout import Layout
from geometry.stock.wire_words import wire_size
from optimizer.bounds.any_winding import WindingBound
from optimizer.bounds.proof import Proof
from optimizer.brief.brief import Brief
from optimizer.brief.goal import GOALS
from optimizer.evaluation.chain import Figures
from optimizer.search.result import Entry, LimitGain, Move, Result
from optimizer.words.load_words import gained_words
from optimizer.words.machine_words import band_words, machine_notes, magnets_in_all, radii_words
from optimizer.words.wording import (
    NOTHING,
    SPACE,
    compared,
    number,
    percent,
    plural,
    quantity,
    signed_percent,
    size_mm,
    unbroken,
    watts_text,
)

LIMIT_WORDS = {
    "space.outer_diameter_mm": "A disc of {relaxed} instead of {was}",
    "space.bore_diameter_mm": "A bore of {relaxed} instead of {was}",
    "space.wall_mm": "Walls of {relaxed} instead of {was} around the magnets",
    "space.air_gap_mm": "An air gap of {relaxed} instead of {was}",
    "space.coil_height_mm": "A winding of up to {relaxed} height instead of {was}",
    "wire.peg_diameter_mm": "Corners of the former of {relaxed} instead of {was}",
    "wire.fill_factor": "A winding filled to {relaxed} instead of {was}",
    "coil.least_layers": "Bundles of at least {relaxed} wires each way instead of {was}",
    "wire.length_m": "{relaxed} of wire instead of {was}",
    "wire.resistance_ohm": "{relaxed} allowed instead of {was}",
}
SPOOL = re.compile(r"spools\[(\d+)\]\.length_m")
VARIABLES = {
    "pitch_radius_mm": "Pitch radius, mm",
    "inner_radius_mm": "Inner radius, mm",
    "outer_radius_mm": "Outer radius, mm",
    "width_mm": "Bundle width, mm",
    "height_mm": "Bundle height, mm",
    "peg_diameter_mm": "Corners of the former, mm across",
    "turns": "Turns per coil",
    "wire.diameter_mm": "Wire, mm",
}


class Gain(NamedTuple):
    """A limit relaxed, what that brings of the goal, and what the goal comes to."""

    words: str
    gain: str
    value: str


def limit_words(limit: LimitGain) -> str:
    """A relaxed limit in words."""
    words = LIMIT_WORDS.get(limit.key)
    if words is None:
        what = "magnets at hand" if limit.key.endswith("quantity") else limit.key
        if spool := SPOOL.fullmatch(limit.key):
            what = f"on spool {spool[1]}"
        words = "{relaxed} " + what + " instead of {was}"
    said = words.format(relaxed=_limit_value(limit, limit.relaxed), was=_limit_value(limit, limit.was))
    return said if limit.magnets is None or limit.key.endswith("quantity") else f"{said}, for {limit.magnets} magnets"


def _limit_value(limit: LimitGain, value: float) -> str:
    if limit.key.endswith("fill_factor"):
        return percent(value)
    return f"{value:.4g}{SPACE}{limit.unit}".rstrip(SPACE)


def binding_limits(result: Result) -> tuple[Gain, ...]:
    """The limits that hold the best machine back, each relaxed alone, and what that would bring."""
    goal = GOALS[result.brief.goal]
    value = goal.value(result.best.figures)

    def reached(gain: float) -> str:
        return gained_words(result.load, gain) if result.load else quantity(value * (1 + gain), goal.unit)

    return tuple(
        Gain(limit_words(limit), signed_percent(limit.gain), reached(limit.gain))
        for limit in result.limits
        if limit.binds
    )


def slack_limits(result: Result) -> tuple[str, ...]:
    """The limits that leave room, each as it was relaxed."""
    slack = (limit_words(limit) for limit in result.limits if not limit.binds)
    return tuple(text[:1].lower() + text[1:] for text in slack)


def move_rows(result: Result) -> dict[str, list[Move]]:
    """Every single-variable move, by the variable's name."""
    rows: dict[str, list[Move]] = {}
    for move in result.moves:
        rows.setdefault(VARIABLES.get(move.variable, move.variable), []).append(move)
    return rows


def move_verdict(result: Result) -> str:
    """What the moves show, in words."""
    fitting = [move.change for move in result.moves if move.fits]
    moves = f"{len(result.moves)} moves of a single variable, {len(fitting)} still fit"
    best = max(fitting, default=-1.0)
    if best > 5e-5:
        return f"Of {moves}; the best of these gives {signed_percent(best)}."
    if best > -5e-5:
        return f"Of {moves}, and none of these gives more."
    return f"Of {moves}, and every one of these gives less. A gain is to be had only by breaking a limit."


def method_sentences(figures: Figures) -> tuple[str, str, str]:
    """How the numbers were computed: field, EMF, resistance."""
    magnet = figures.layout.carrier.magnet
    source = f"the least that makers guarantee for {magnet.grade}" if magnet.grade else "as the brief gives it"
    return (
        (
            f"The field is that of uniformly magnetized {magnet.shape}s with an effective polarization of"
            f" {quantity(figures.polarization_T, 'T')}: the remanence of {quantity(magnet.remanence, 'T')}"
            f" ({source}), lowered by the demagnetizing factor of"
            f" {_demagnetizing(figures)} at a recoil permeability of"
            f" {' '.join((f'{number(magnet.recoil_permeability)}.', *machine_notes(figures)))}"
        ),
        (
            "The EMF is that of every turn in its own place in the bundle, with all harmonics, the integral"
            " of ω·r·B\u00a0dr (B: axial field) along the rounded turns; it is open circuit, so a load"
            " lowers it."
        ),
        (
            f"The resistance is nominal at 20{SPACE}°C; the wire standard's tolerance allows"
            f" {band_words(figures)}, and copper gains 3.9\u00a0% for every 10\u00a0°C."
        ),
    )


def _demagnetizing(figures: Figures) -> str:
    magnet = figures.layout.carrier.magnet
    if not figures.layout.carrier.plate:
        return f"{number(magnet.demagnetizing_factor)} (of the {magnet.shape} by itself)"
    return f"{number(magnet.factor(2 * magnet.thickness))} (of the {magnet.shape} and its mirror image together)"


def bound_finding(bound: WindingBound) -> str:
    """How near the best machine's volts, or watts, are to what any winding could give."""
    share = f"{bound.share:.1%}".replace("%", f"{SPACE}%")
    return f"{share} of what any winding of this wire could give past these magnets"


def bound_words(bound: WindingBound) -> str:
    """The same with the bound itself, and how sharp it is."""
    watts, volts = bound.matched_power_W, quantity(bound.emf_rms_V, "V")
    most = f"{volts} of EMF" if watts is None else f"{quantity(watts, 'W')} to a matched load"
    return (
        f"{bound_finding(bound)}: in the same height none gives more than {most}, "
        f"and one gives that within {percent(bound.grid_error)}."
    )


class EntryRow(NamedTuple):
    """One machine in a table of machines. `best` marks the winner. load: what the load of a search for one gets."""

    name: str
    magnets: str
    coils: str
    wire: str
    value: str
    change: str
    best: bool
    load: str = ""


def count_rows(result: Result) -> list[EntryRow]:
    """The best machine of each magnet count."""
    return [_entry_row(str(entry.layout.carrier.count), entry, result) for entry in result.by_magnet_count]


def topology_rows(result: Result) -> list[EntryRow]:
    """The best machine of each coil shape."""
    return [_entry_row(entry.layout.winding.topology, entry, result) for entry in result.by_topology]


def phase_rows(result: Result) -> list[EntryRow]:
    """The best machine of each number of phases; none when only one number was tried."""
    return [_entry_row(plural(entry.layout.phases, "phase"), entry, result) for entry in result.by_phases]


def missing_topologies(result: Result) -> list[str]:
    """The coil shapes of the brief of which no layout fits."""
    found = {entry.layout.winding.topology for entry in result.by_topology}
    return [name for name in result.brief.topologies if name not in found]


def phase_verdict(result: Result) -> str:
    """What three phases bring or cost beside one; empty when not both were found."""
    best = {entry.layout.phases: entry.figures for entry in result.by_phases}
    if not {1, 3} <= best.keys():
        return ""
    one, three = best[1], best[3]
    line = (
        f"joined in {three.layout.winding.connection} it has {quantity(three.emf_line_rms_V, 'V')} rms between "
        f"terminals, against {quantity(one.emf_rms_V, 'V')} rms of the single phase"
    )
    power = compared(three.matched_power_W, one.matched_power_W, "power", "one phase")
    emf = compared(three.emf_rms_V, one.emf_rms_V, "EMF in each phase", "one phase")
    return f"The best machine of three phases gives {emf} and, all phases together, {power}; {line}."


def kind_mark(brief: Brief, layout: Layout) -> str:
    """The letter of a layout's magnets; empty where the brief has only one kind."""
    kinds = [stock.magnet for stock in brief.magnets]
    return _letter(kinds.index(layout.carrier.magnet)) if len(kinds) > 1 else ""


def kind_words(brief: Brief, layout: Layout) -> str:
    """The letter and what it stands for: "B: disc ⌀ 20 × 6 mm"; empty where the brief has only one kind."""
    mark, magnet = kind_mark(brief, layout), layout.carrier.magnet
    return f"{mark}: {magnet.label}{f', {magnet.grade}' if magnet.grade else ''}" if mark else ""


def _letter(at: int) -> str:
    """A to Z, then A1 and so on."""
    round_, place = divmod(at, len(ascii_uppercase))
    return ascii_uppercase[place] + (str(round_) if round_ else "")


def _entry_row(name: str, entry: Entry, result: Result) -> EntryRow:
    goal, layout = GOALS[result.brief.goal], entry.layout
    value, best = goal.value(entry.figures), goal.value(result.best.figures)
    magnet, count = unbroken(kind_words(result.brief, layout) or layout.carrier.magnet.size_label), layout.carrier.count
    shape = "" if name == layout.winding.topology else f"{layout.winding.topology}, "
    return EntryRow(
        name=name,
        magnets=magnet if name == str(count) else f"{count} of {magnet}",
        coils=f"{shape}{layout.coils} × {layout.winding.turns}",
        wire=_wire(entry.figures),
        value=quantity(value, goal.unit),
        change="best" if entry == result.best else signed_percent(value / best - 1),
        best=entry == result.best,
        load="" if entry.load_watts is None else watts_text(entry.load_watts),
    )


def entry_words(brief: Brief, entry: Entry) -> str:
    """A machine of a search in a few words, with the kind of its magnets where the brief has several."""
    layout, winding, kind = entry.layout, entry.layout.winding, kind_words(brief, entry.layout)
    coil = f"{layout.coils} {winding.topology} coils" if layout.coils > 1 else f"one {winding.topology} coil"
    phases = f" in {layout.phases} phases" if layout.phases > 1 else ""
    magnets = f"{layout.carrier.count} magnets" + (f" ({kind})" if kind else "")
    return f"{magnets}, {coil}{phases}, {winding.turns} turns of {wire_size(winding.wire, SPACE)}"


class TextbookWords(NamedTuple):
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
        ("EMF promised by the sizing equation", f"{quantity(book.sizing_equation_V, 'V')} rms", NOTHING),
        *((name, words(naive), words(best)) for name, words in _COMPARED),
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
    grade = f", {figures.layout.carrier.magnet.grade}" if figures.layout.carrier.magnet.grade else ""
    return f"{magnets_in_all(figures.layout)} of {unbroken(figures.layout.carrier.magnet.label)}{grade}"


def _bundle(figures: Figures) -> str:
    winding = figures.layout.winding
    return f"{size_mm(winding.width * 1e3)} × {size_mm(winding.height * 1e3)}"


def _wire(figures: Figures) -> str:
    length, resistance = quantity(figures.wire_length_m, "m"), quantity(figures.resistance_ohm, "Ω")
    return f"{wire_size(figures.layout.winding.wire, SPACE)}, {length}, {resistance}"


_COMPARED: tuple[tuple[str, Callable[[Figures], str]], ...] = (
    ("EMF really given", lambda f: f"{quantity(f.emf_rms_V, 'V')} rms"),
    ("Matched-load power", lambda f: quantity(f.matched_power_W, "W")),
    ("Magnets", _magnets),
    ("Coils", lambda f: f"{f.layout.coils} {f.layout.winding.topology} × {f.layout.winding.turns} turns"),
    ("Pitch radius", lambda f: size_mm(f.layout.carrier.pitch_radius * 1e3)),
    ("Winding's radii", lambda f: radii_words(f.layout)),
    ("Bundle, width × height", _bundle),
    ("Wire", _wire),
)
"""Rows of the textbook layout beside the winner."""


def proof_words(proof: Proof, best: Figures) -> str:
    """The certificate of a brief beside the machine that was found for it."""
    nearest = (
        f"{proof.count} magnets on a pitch radius of {number(proof.pitch_radius * 1e3)}{SPACE}mm, "
        f"a winding {number(proof.height * 1e3)}{SPACE}mm tall of {wire_size(proof.wire, SPACE)} wire"
    )
    most, own = f"a phase more than {quantity(proof.value, 'V')} rms", best.emf_rms_V
    if proof.unit == "W":
        most, own = f"more than {quantity(proof.value, 'W')} to a matched load", best.matched_power_W
        nearest += f", {quantity(proof.length, 'm')} of it in the turns of a phase"
    return (
        f"Proven: no layout that keeps these limits, whatever the shape of its winding, gives {most}. "
        f"This one gives {percent(own / proof.value)} of that. The bound is highest for {nearest}."
    )
