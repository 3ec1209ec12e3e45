"""The tables and sentences of the report, from a result: every number rounded for people and with its unit."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.layout import Layout
from optimizer.figures import Figures
from optimizer.goal import GOALS
from optimizer.result import Entry, LimitGain, Move, Result
from optimizer.wording import difference, number, percent, quantity, signed_percent, size_mm

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
    """One machine in a table of machines. `best` marks the winner."""

    name: str
    magnets: str
    coils: str
    wire: str
    value: str
    change: str
    best: bool


@dataclass(frozen=True, slots=True)
class MoveCell:
    """One move: where to, what it changes, whether it fits."""

    moved: str
    change: str
    fits: bool


@dataclass(frozen=True, slots=True)
class MoveRow:
    """All moves of one variable; `blanks` cells are missing to the longest row."""

    name: str
    was: str
    cells: tuple[MoveCell, ...]
    blanks: int


@dataclass(frozen=True, slots=True)
class Why:
    """Why this layout: limits that hold it back, each with what relaxing it brings, and those that do not."""

    binding: tuple[Row, ...]
    slack: tuple[str, ...]


def build_rows(layout: Layout, figures: Figures) -> list[Group]:
    """What to buy, cut and wind."""
    return [Group("Buy", _buy(figures)), Group("Cut", _cut(layout, figures)), Group("Wind", _wind(layout, figures))]


def _buy(figures: Figures) -> tuple[Row, ...]:
    magnet = figures.magnet
    disc = f"⌀ {size_mm(magnet.diameter_mm)} × {size_mm(magnet.thickness_mm)}"
    grade = f"grade {magnet.grade}" if magnet.grade else f"remanence {quantity(magnet.remanence_T, 'T')}"
    return (
        Row("Disc magnets", f"{figures.magnet_count} of {disc}", f"{grade}, magnetized along the axis"),
        Row("Mass of the magnets", quantity(figures.magnet_mass_g, "g")),
        Row("Enamelled copper wire", quantity(figures.wire_length_m, "m"), "plus the ends and what joins the coils"),
        Row("Wire size", f"{figures.wire_diameter_mm:g}{SPACE}mm", "bare copper"),
        Row("Mass of the copper", quantity(figures.copper_mass_g, "g")),
    )


def _cut(layout: Layout, figures: Figures) -> tuple[Row, ...]:
    space = layout.space
    return (
        Row("Carrier disc", f"⌀ {size_mm(space.outer_diameter * 1e3)}", "not of steel"),
        Row("Bore", f"⌀ {size_mm(space.bore_diameter * 1e3)}", "kept clear for shaft and bearing"),
        Row("Pockets' pitch circle", f"⌀ {size_mm(2 * figures.pitch_radius_mm)}", f"{figures.magnet_count} pockets, equally spaced"),
        Row("Air gap", size_mm(figures.air_gap_mm), "magnet face to the nearest copper, any cover included"),
        Row("Former's pegs", f"⌀ {size_mm(2e3 * layout.winding.peg_radius)}", "at least"),
    )


def _wind(layout: Layout, figures: Figures) -> tuple[Row, ...]:
    together = "in series, neighbours in opposite sense" if figures.coils > 1 else "once around the annulus for each turn"
    bundle = f"{size_mm(figures.width_mm)} wide, {size_mm(figures.height_mm)} high"
    return (
        Row("Coils", f"{figures.coils} {figures.topology}", together),
        Row("Turns", f"{figures.turns} per coil", f"{figures.coils * figures.turns} in all" if figures.coils > 1 else ""),
        Row("Winding's radii", f"{size_mm(figures.inner_radius_mm)} to {size_mm(figures.outer_radius_mm)}", "insulation included"),
        Row("Bundle", bundle, f"wire with its enamel fills {percent(figures.fill_factor)}"),
        Row("Resistance", quantity(figures.resistance_ohm, "Ω"), f"{_band(figures)} by the wire standard, at 20{SPACE}°C"),
    )


def _band(figures: Figures) -> str:
    return f"{number(figures.resistance_min_ohm)} to {quantity(figures.resistance_max_ohm, 'Ω')}"


LIMIT_WORDS = {
    "space.outer_diameter_mm": "A disc of {relaxed} instead of {was}",
    "space.bore_diameter_mm": "A bore of {relaxed} instead of {was}",
    "space.wall_mm": "Walls of {relaxed} instead of {was} around the magnets",
    "space.air_gap_mm": "An air gap of {relaxed} instead of {was}",
    "space.coil_height_mm": "A winding of up to {relaxed} height instead of {was}",
    "wire.peg_diameter_mm": "Pegs of {relaxed} instead of {was}",
    "wire.fill_factor": "A winding filled to {relaxed} instead of {was}",
    "wire.length_m": "{relaxed} of wire instead of {was}",
    "wire.resistance_ohm": "{relaxed} allowed instead of {was}",
}


def limit_words(limit: LimitGain) -> str:
    """A relaxed limit in words."""
    words = LIMIT_WORDS.get(limit.key)
    if words is None:
        what = "magnets at hand" if limit.key.endswith("quantity") else limit.key
        words = "{relaxed} " + what + " instead of {was}"
    return words.format(relaxed=_limit_value(limit, limit.relaxed), was=_limit_value(limit, limit.was))


def _limit_value(limit: LimitGain, value: float) -> str:
    if limit.key.endswith("fill_factor"):
        return percent(value)
    return f"{value:.4g}{SPACE}{limit.unit}".rstrip(SPACE)


def why_words(result: Result) -> Why:
    """Which limits bind, what relaxing each would bring, and which leave room."""
    goal = GOALS[result.brief.goal]
    value = goal.value(result.best.figures)
    binding = tuple(
        Row(limit_words(limit), signed_percent(limit.gain), quantity(value * (1 + limit.gain), goal.unit))
        for limit in result.limits
        if limit.binds
    )
    slack = tuple(_lower_first(limit_words(limit)) for limit in result.limits if not limit.binds)
    return Why(binding, slack)


def _lower_first(text: str) -> str:
    return text[:1].lower() + text[1:]


def count_rows(result: Result) -> list[EntryRow]:
    """The best machine of each magnet count."""
    return [_entry_row(str(entry.figures.magnet_count), entry, result) for entry in result.by_magnet_count]


def topology_rows(result: Result) -> list[EntryRow]:
    """The best machine of each coil shape."""
    return [_entry_row(entry.figures.topology, entry, result) for entry in result.by_topology]


def _entry_row(name: str, entry: Entry, result: Result) -> EntryRow:
    goal, figures = GOALS[result.brief.goal], entry.figures
    value, best = goal.value(figures), goal.value(result.best.figures)
    magnet = f"⌀ {figures.magnet.diameter_mm:g} × {figures.magnet.thickness_mm:g}{SPACE}mm"
    shape = "" if name == figures.topology else f"{figures.topology}, "
    return EntryRow(
        name=name,
        magnets=magnet if shape else f"{figures.magnet_count} of {magnet}",
        coils=f"{shape}{figures.coils} × {figures.turns} turns",
        wire=f"{figures.wire_diameter_mm:g}{SPACE}mm, {quantity(figures.wire_length_m, 'm')}, {quantity(figures.resistance_ohm, 'Ω')}",
        value=quantity(value, goal.unit),
        change="best" if entry == result.best else signed_percent(value / best - 1),
        best=entry == result.best,
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
        ("Coils", _coils(naive), _coils(best)),
        ("Pitch radius", size_mm(naive.pitch_radius_mm), size_mm(best.pitch_radius_mm)),
        ("Winding's radii", _radii(naive), _radii(best)),
        ("Bundle, width × height", _bundle(naive), _bundle(best)),
        ("Wire", _wire(naive), _wire(best)),
    )
    verdict = (
        f"The sizing equation is off: the layout it describes gives {difference(naive.emf_rms_V, book.sizing_equation_V)} "
        f"than promised. The layout found here gives {difference(best.emf_rms_V, naive.emf_rms_V)} EMF than the "
        f"textbook's and {difference(best.matched_power_W, naive.matched_power_W)} power into a matched load."
    )
    return TextbookWords(verdict, rows)


def _coils(figures: Figures) -> str:
    return f"{figures.coils} {figures.topology} × {figures.turns} turns"


def _radii(figures: Figures) -> str:
    return f"{size_mm(figures.inner_radius_mm)} to {size_mm(figures.outer_radius_mm)}"


def _bundle(figures: Figures) -> str:
    return f"{size_mm(figures.width_mm)} × {size_mm(figures.height_mm)}"


def _wire(figures: Figures) -> str:
    return f"{figures.wire_diameter_mm:g}{SPACE}mm, {quantity(figures.wire_length_m, 'm')}, {quantity(figures.resistance_ohm, 'Ω')}"


VARIABLES = {
    "pitch_radius_mm": "Pitch radius, mm",
    "inner_radius_mm": "Inner radius, mm",
    "outer_radius_mm": "Outer radius, mm",
    "width_mm": "Bundle width, mm",
    "height_mm": "Bundle height, mm",
    "turns": "Turns per coil",
    "wire.diameter_mm": "Wire, mm",
}


def move_rows(result: Result) -> list[MoveRow]:
    """Every single-variable move, a row for each variable."""
    groups: dict[str, list[Move]] = {}
    for move in result.moves:
        groups.setdefault(move.variable, []).append(move)
    longest = max((len(moves) for moves in groups.values()), default=0)
    return [
        MoveRow(VARIABLES.get(name, name), f"{moves[0].was:g}", tuple(map(_cell, moves)), longest - len(moves))
        for name, moves in groups.items()
    ]


def _cell(move: Move) -> MoveCell:
    return MoveCell(f"{move.moved:g}", signed_percent(move.change), move.fits)


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


def method_sentences(layout: Layout, figures: Figures) -> tuple[str, str, str]:
    """How the numbers were computed: field, EMF, resistance."""
    magnet = layout.carrier.magnet
    source = f"the least that makers guarantee for {magnet.grade}" if magnet.grade else "as the brief gives it"
    return (
        f"The field is that of uniformly magnetized discs with an effective polarization of "
        f"{quantity(magnet.polarization, 'T')}: the remanence of {quantity(magnet.remanence, 'T')} ({source}), lowered by "
        f"the disc's own demagnetizing factor of {number(magnet.demagnetizing_factor)} at a recoil permeability of "
        f"{number(magnet.recoil_permeability)}.",
        "The EMF is that of every turn in its own place in the bundle, with all harmonics, from ω∮r·B_z\u00a0dr along the "
        "rounded turns; open circuit, so a load lowers it.",
        f"The resistance is nominal at 20{SPACE}°C; the wire standard's tolerance allows {_band(figures)}, and copper gains "
        "3.9\u00a0% for every 10\u00a0°C.",
    )
