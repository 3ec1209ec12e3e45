"""Machines of a comparison in words: what each is built of, its figures in rows, what it is good for.

Coil shapes like for like come last.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from geometry.machine.layout import Layout
from geometry.machine.speed import rad_s_of
from geometry.stock.wire_words import wire_mm, wire_size
from optimizer.circuit.loads import Load
from optimizer.motors.comparison import ComparisonEntry, Machine
from optimizer.motors.rewinding import Option, RewindBrief
from optimizer.rigs.rig import Rig
from optimizer.surveys.like_for_like import LikeForLike, ShapeEntry, Term
from optimizer.words.caution_words import Caution, said, turning_cautions
from optimizer.words.loads import words_of
from optimizer.words.machine_words import machine_notes
from optimizer.words.rewind_words import leave_sentence
from optimizer.words.wording import (
    NOTHING,
    SPACE,
    TableOfWords,
    difference,
    number,
    percent,
    plural,
    quantity,
    signed_percent,
    size_mm,
    unbroken,
)

HEADINGS = {"envelope": "Equal envelope and gap", "copper": "Equal copper", "wire": "Equal wire"}
TIE = 0.01  # figures nearer to one another than this are alike: the model itself is no better
OUTPUT_WORDS = {name: f"{name} with one load across two of its lines" for name in ("star", "delta")}


def shape_headline(comparison: LikeForLike) -> str:
    """Which shape leads on which terms."""
    return " ".join(f"{finding_words(term)}." for term in comparison.terms)


def finding_words(term: Term) -> str:
    """Who leads a term, and by how much the others trail: in volts or in watts at best."""
    ranked = sorted(term.shape_entries, key=lambda each: -merit(term, each))
    if not ranked:
        return f"{HEADINGS[term.equal]}: no shape fits"
    first, unit = ranked[0], "V" if in_volts(term) else "W"
    lead = f"{HEADINGS[term.equal]}: {first.name} coils give {quantity(merit(term, first), unit)}"
    behind = [f"{each.name} {difference(merit(term, each), merit(term, first))}" for each in ranked[1:]]
    return "; ".join([lead, *behind])


def merit(term: Term, each: ShapeEntry) -> float:
    """What a term compares first, V or W."""
    figures = each.entry.figures
    return figures.emf_rms_V if in_volts(term) else figures.matched_power_W


def in_volts(term: Term) -> bool:
    """Whether a term compares volts: on equal wire, unless the numbers of phases differ."""
    return term.equal == "wire" and len({each.entry.layout.phases for each in term.shape_entries}) == 1


def base_words(comparison: LikeForLike) -> str:
    """What all shapes share on every term."""
    layout, brief = comparison.best.layout, comparison.brief
    carrier, space = layout.carrier, brief.space
    across = f"{size_mm(space.bore_diameter * 1e3)} to {size_mm(space.outer_diameter * 1e3)} across"
    return (
        f"All shapes meet the magnets of the brief's best layout: {carrier.count} of "
        f"{unbroken(carrier.magnet.size_label)} on a pitch radius of "
        f"{size_mm(carrier.pitch_radius * 1e3)}, {size_mm(layout.air_gap * 1e3)} away, at "
        f"{number(layout.speed_rpm)}{SPACE}rpm. They share the annulus ({across}), the most height "
        f"({size_mm(brief.coil_height * 1e3)}), fill factor ({number(brief.fill_factor, 2)}), enamel and least corners."
    )


def equal_words(comparison: LikeForLike, term: Term) -> str:
    """How a term is made equal, and how equal it came out."""
    gauge = f"{wire_size(comparison.best.layout.winding.wire, SPACE)} wire"
    if term.equal == "envelope":
        return (
            f"Every winding may use the whole annulus and height, with {gauge} and as much of it as it likes, "
            "and is the best it can be for power into a matched load, a measure that does not depend on the gauge."
        )
    close = f"They differ by {percent(term.spread)} at most." if term.spread > 0 else "They do not differ."
    amount = term.measure or 0.0
    whole = ", ends, joints and spare included,"
    if term.equal == "copper":
        return (
            f"Every winding takes {quantity(amount * 1e9, 'mm³')} of copper{whole} in the wire of the list that is "
            "best for power into a matched load; compare power and V/√Ω, which do not depend on the gauge. "
            f"{close}"
        )
    return f"Every winding takes {quantity(amount, 'm')} of {gauge}{whole} placed for the highest EMF. {close}"


def missing_words(term: Term) -> str:
    """The shapes that do not fit beside these magnets, or nothing."""
    if not term.missing:
        return ""
    return f"{' and '.join(term.missing).capitalize()} coils do not fit beside these magnets."


ROWS: tuple[tuple[str, Callable[[ShapeEntry], str]], ...] = (
    ("EMF of a phase, V rms", lambda c: number(c.entry.figures.emf_rms_V)),
    ("EMF per metre of wire, mV", lambda c: number(c.emf_per_metre * 1e3)),
    ("EMF per root ohm, whole machine, V/√Ω", lambda c: number(c.emf_per_root_ohm)),
    ("Power into a matched load, W", lambda c: number(c.entry.figures.matched_power_W)),
    ("Resistance of a phase, Ω", lambda c: number(c.entry.figures.resistance_ohm)),
    ("Inductance of a phase, mH", lambda c: number(c.inductance * 1e3)),
    ("Reactance at this speed, Ω", lambda c: number(c.reactance)),
    ("Harmonics together, between terminals", lambda c: percent(c.distortion)),
    ("Mean torque, mN·m", lambda c: number(c.torque * 1e3)),
    ("Torque ripple, peak to peak", lambda c: percent(c.torque_ripple)),
    ("Wire in the turns, m", lambda c: number(c.entry.figures.wire_length_m)),
    ("Wire in all, m", lambda c: number(c.entry.figures.wire_needed_m)),
    ("Wire, mm bare", lambda c: wire_mm(c.entry.layout.winding.wire)),
    ("Copper in the turns, g", lambda c: number(c.entry.figures.copper_mass_g)),
    ("Coils × turns", lambda c: f"{c.entry.layout.coils} × {c.entry.layout.winding.turns}"),
    (
        "Bundle, mm wide × high",
        lambda c: f"{c.entry.layout.winding.width * 1e3:g} × {c.entry.layout.winding.height * 1e3:g}",
    ),
    (
        "Radii, mm",
        lambda c: f"{c.entry.layout.winding.inner_radius * 1e3:g} to {c.entry.layout.winding.outer_radius * 1e3:g}",
    ),
    ("Winding, hand motions", lambda c: number(c.effort.motions)),
)
"""Rows of a term's table: name with unit, and a cell of one shape. Torque: with each phase on its own ohms."""


def table_rows(term: Term) -> list[tuple[str, list[str]]]:
    """A term's table, a column for each shape."""
    rows = [(name, [cell(each) for each in term.shape_entries]) for name, cell in ROWS]
    orders = [order for order, _ in term.shape_entries[0].harmonics] if term.shape_entries else []
    harmonics = [
        (
            f"Harmonic {order}, between terminals",
            [signed_percent(dict(each.harmonics).get(order, 0.0)) for each in term.shape_entries],
        )
        for order in orders
    ]
    return [*rows[:8], *harmonics, *rows[8:]]


def effort_words(each: ShapeEntry) -> str:
    """What the score is made of."""
    effort = each.effort
    bends = "no bends" if not effort.bends_per_turn else f"{plural(effort.bends_per_turn, 'bend')} each"
    return (
        f"{plural(effort.coils, 'coil')}, {plural(effort.turns, 'turn')}, {bends}, {plural(effort.joints, 'joint')}, "
        f"{plural(effort.crossings, 'crossing')}"
    )


def built_words(machine: Machine) -> str:
    """A machine in a few words."""
    if machine.layout:
        return _layout_words(machine.layout, machine.magnets)
    return _motor_words(*machine.rewound) if machine.rewound else machine.kind


def condition_words(load: Load | None, rig: Rig | None, speed_rpm: float) -> str:
    """What all machines were put to, with no rig at `speed_rpm`."""
    turned = f"on the rig “{rig.title}”" if rig else f"at {number(speed_rpm)}{SPACE}rpm ahead of their own gears"
    fed = "each into the resistance that gets the most of it" if load is None else words_of(load).beside(load)
    return f"{turned}, {fed}"


def named_cautions(entries: Sequence[ComparisonEntry]) -> list[Caution]:
    """What bites, each with the machine that it is of before it."""
    told = [(entry.machine.name, said(hazard)) for entry in entries for hazard in entry.hazards]
    return [Caution(f"{name}: {each.title[:1].lower()}{each.title[1:]}", each.text) for name, each in told]


def compare_cautions(entries: Sequence[ComparisonEntry]) -> tuple[Caution, ...]:
    """What to mind with any of them, whatever bites."""
    maximum = max(entries, key=lambda entry: entry.machine.source.peak_constant * entry.rpm)
    peak = maximum.machine.source.peak_constant * rad_s_of(maximum.rpm)
    return turning_cautions(peak, maximum.rpm)


def note_sentences(machine: Machine) -> tuple[str, ...]:
    """What stands beside all figures of a machine."""
    if machine.figures:
        return machine_notes(machine.figures)
    leave = machine.rewound and leave_sentence(*machine.rewound)
    return (leave,) if leave else ()


def _layout_words(layout: Layout, magnets: int) -> str:
    winding = layout.winding
    coils = f"{layout.coils} {winding.topology} coils of {winding.turns} turns"
    if layout.coils == 1:
        coils = f"one {winding.topology} coil of {winding.turns} turns"
    if layout.phases == 3:
        coils += f", three phases in {winding.connection}"
    return f"{magnets} magnets, {coils}, {wire_size(winding.wire)} wire"


def _motor_words(brief: RewindBrief, chosen: Option) -> str:
    new = chosen.armature
    gears = "".join(f", gears {gear.driver_teeth} : {gear.driven_teeth}" for gear in brief.turning.gears)
    return (
        f"{brief.motor.coils} coils of {new.turns:g} turns, {wire_size(new.wire)} wire, "
        f"{OUTPUT_WORDS.get(new.output, new.output)}{gears}"
    )


def compared_figures(entries: Sequence[ComparisonEntry], *, on_rig: bool) -> TableOfWords:
    """A row for each figure, a column for each machine; on_rig: whether a rig turned them, not a steady speed."""
    shown = [
        [name, *(NOTHING if entry.failure else words(entry) for entry in entries)]
        for name, words in (*_GIVEN, _FORCE if on_rig else _TORQUE, *_REACHED)
    ]
    built = [[name, *(words(entry.machine) for entry in entries)] for name, words in _BUILT]
    return TableOfWords(("", *(entry.machine.name for entry in entries)), (*shown, *built))


def headline(entries: Sequence[ComparisonEntry]) -> str:
    """Which machine gives the load most, and by how much; of one alone what it gives."""
    ranked = sorted((entry for entry in entries if entry.watts > 0), key=lambda entry: -entry.watts)
    if not ranked:
        who = "None of them brings" if len(entries) > 1 else f"{entries[0].machine.name} does not bring"
        return f"{who} this load to work."
    first = ranked[0]
    told = [
        f"{one.machine.name} {quantity(one.watts, 'W')} at {volts_words(one.volts, one.load_kind)}" for one in ranked
    ]
    alike = [one for one in ranked if one.watts >= (1 - TIE) * first.watts]
    if len(alike) > 1:
        who = "All of them" if len(alike) == len(ranked) == len(entries) else f"{len(alike)} of them"
        return f"{who} give the load as much, within {percent(TIE)}: {'; '.join(told)}."
    most = " most:" if len(entries) > 1 else ""
    words = f"{first.machine.name} gives the load{most}{told[0].removeprefix(first.machine.name)}"
    return "; ".join([words, *told[1:]]) + "."


def volts_words(volts: float, kind: str) -> str:
    """Voltage, V, with what it is."""
    return quantity(volts, f"V {kind}")


def _cost(machine: Machine) -> str:
    return "not known" if machine.cost is None else f"{machine.cost:.2f} {machine.currency}"


_OfEntry = tuple[str, Callable[[ComparisonEntry], str]]
_GIVEN: tuple[_OfEntry, ...] = (
    ("Volts at the load", lambda entry: volts_words(entry.volts, entry.load_kind)),
    ("Power of the load", lambda entry: quantity(entry.watts, "W")),
    ("From the hand", lambda entry: quantity(entry.hand_watts, "W")),
)
_FORCE: _OfEntry = ("Most force of the hand", lambda entry: quantity(entry.hand_force or 0.0, "N"))
_TORQUE: _OfEntry = ("Torque of the hand", lambda entry: quantity(1e3 * (entry.hand_torque or 0.0), "mN·m"))
_REACHED: tuple[_OfEntry, ...] = (
    ("Hand to load", lambda entry: percent(entry.efficiency)),
    ("Speed of its own shaft", lambda entry: quantity(entry.rpm, "rpm")),
    ("Nothing joined", lambda entry: volts_words(entry.open_volts, entry.open_kind)),
)
_BUILT: tuple[tuple[str, Callable[[Machine], str]], ...] = (
    ("Resistance", lambda machine: quantity(machine.ohms, "Ω a phase" if machine.per_phase else "Ω")),
    ("Built of", built_words),
    ("Wire", lambda machine: quantity(machine.wire_length, "m")),
    ("Copper", lambda machine: quantity(machine.copper_mass * 1e3, "g")),
    ("Magnets", lambda machine: quantity(machine.magnet_mass * 1e3, "g")),
    ("Mass, as far as known", lambda machine: quantity(machine.mass * 1e3, "g")),
    ("Cost of magnets and wire", _cost),
)


def verdicts(entries: Sequence[ComparisonEntry]) -> tuple[str, ...]:
    """What each machine is good for, in words, by the figures and its kind."""
    working = [entry for entry in entries if entry.watts > 0]
    return tuple(_verdict(entry, working) for entry in entries)


def _verdict(entry: ComparisonEntry, working: Sequence[ComparisonEntry]) -> str:
    if entry.failure:
        return f"does not run on this rig: {entry.failure}"
    if entry.watts <= 0:
        return "does not bring this load to work here; " + _nature(entry.machine)
    praise = [_praise(entry, working, merit, words) for merit, words in _merits(working)] if len(working) > 1 else []
    return "; ".join([*filter(None, praise), _nature(entry.machine)])


def _merits(working: Sequence[ComparisonEntry]) -> Iterator[tuple[Callable[[ComparisonEntry], float], str]]:
    """What machines that work can be praised for, where it is known of all of them and means the same."""
    yield lambda one: one.watts, "gives the load the most watts"
    if len({one.load_kind for one in working}) == 1:
        yield lambda one: one.volts, "gives the load the most volts"
    yield lambda one: one.efficiency, "asks least of the hand for each watt"
    if all(one.machine.cost is not None for one in working):
        yield lambda one: -(one.machine.cost or 0.0), "costs least in magnets and wire"


def _praise(
    entry: ComparisonEntry, working: Sequence[ComparisonEntry], merit: Callable[[ComparisonEntry], float], words: str
) -> str:
    """The words where the entry's merit is the highest, with those who share it; nothing where all are alike."""
    best = max(merit(one) for one in working)
    alike = [one for one in working if merit(one) >= best - TIE * abs(best)]
    if entry not in alike or len(alike) == len(working):
        return ""
    others = [one.machine.name for one in alike if one is not entry]
    return f"{words}, alike with {' and '.join(others)}" if others else words


def _nature(machine: Machine) -> str:
    if machine.kind == "magnets and coil":
        return "no brushes, no tugging of teeth: silent, lasting, made to measure; direct current takes diodes"
    if machine.diodes is not None:
        kind = "without brushes; direct current by six diodes, teeth tug"
    elif machine.source.kind == "commutated":
        kind = "direct current at once; brushes wear and teeth tug"
    else:
        kind = "without brushes; alternating, and teeth tug"
    geared = ", but its gears whirr and wear" if machine.gears else ""
    return f"from the scrap box in an afternoon, {kind}{geared}"
