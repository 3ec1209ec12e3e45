"""A comparison of coil shapes like for like in words."""

from __future__ import annotations

from collections.abc import Callable

from optimizer.surveys.like_for_like import LikeForLike, ShapeEntry, Term
from optimizer.words.wording import (
    SPACE,
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


def headline(comparison: LikeForLike) -> str:
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
        f"({size_mm(brief.coil_height * 1e3)}), fill factor ({number(brief.fill_factor, 2)}), enamel and corners."
    )


def equal_words(comparison: LikeForLike, term: Term) -> str:
    """How a term is made equal, and how equal it came out."""
    gauge = f"{comparison.best.layout.winding.wire.diameter_mm:g}{SPACE}mm wire"
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
    ("Wire, mm bare", lambda c: f"{c.entry.layout.winding.wire.diameter_mm:g}"),
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
