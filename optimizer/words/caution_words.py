"""Cautions: the hazards that bite, each in a sentence with its numbers, and what to mind whatever the numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import pi

from geometry.machine.layout import Layout
from geometry.stock.magnet import GRADES
from optimizer.circuit.load_hazard import LoadHazard
from optimizer.evaluation.chain import Figures
from optimizer.evaluation.retention import Retention
from optimizer.evaluation.thermal import ENAMEL_LIMIT
from optimizer.loads.hazards import (
    FAST,
    TOUCH_LIMIT,
    Burst,
    Hazard,
    HighVoltage,
    HotCopper,
    HotMagnet,
    Overspeed,
    field_reach,
    safe_distance,
)
from optimizer.words.wording import SPACE, number, quantity

HEAT_CAPACITY = 385.0  # J/(kg K), copper (from memory)
GRAVITY = 9.81  # m/s²
TOUCH = f"{number(TOUCH_LIMIT)}{SPACE}V peak, a common limit for bare parts that may be touched"
INSULATE = "Insulate the ends, never hold them while it turns, and choose rectifier and capacitors for that voltage."


@dataclass(frozen=True, slots=True)
class Caution:
    """One danger: what it is in a few words, and what to know and do about it."""

    title: str
    text: str


RULES = Caution(
    "Rules where you are",
    "This is a calculation, not an approval. Local codes and the advice of licensed practice come first, above all for "
    "anything near the mains, in public, or turned by children.",
)
CELLS = Caution(
    "Cells need a regulator",
    "Never join a generator to a battery directly, nor through a rectifier alone: its voltage follows the speed. Use a "
    "charge controller made for the cell's chemistry, with its protection, and a fuse beside the cell.",
)
GUARD = Caution(
    "Guard what turns",
    "Wheels, gears, clutch and cord catch fingers, hair and sleeves, and a handle that is fixed to a turning shaft "
    "strikes. Put guards around all of it (ISO 14120, ISO 12100), and let it run down before you touch it.",
)


def said(hazard: Hazard) -> Caution:
    """A hazard in words."""
    match hazard:
        case Overspeed():
            return _overspeed(hazard)
        case Burst():
            return _burst(hazard)
        case HighVoltage():
            return Caution(
                "Dangerous voltage",
                f"{quantity(hazard.peak, 'V')} peak between the ends with nothing joined at {number(hazard.rpm)}{SPACE}"
                f"rpm; {TOUCH}, is passed at {number(hazard.touch_rpm)}{SPACE}rpm. {INSULATE}",
            )
        case HotCopper():
            return _hot_copper(hazard)
        case HotMagnet():
            return _hot_magnet(hazard)
        case LoadHazard():
            from optimizer.words.loads import load_caution  # a machine alone has no need of all loads

            return Caution(*load_caution(hazard))


def burst_fault(held: Retention) -> str:
    """Why no parts are made of a machine that bursts at its own speed, and what would mend it."""
    return (
        f"speed_rpm must be below {number(held.burst_rpm)}, at which the carrier bursts, was "
        f"{number(held.speed_rpm)}: no parts are made. Lower the speed or leave more wall around the magnets"
    )


def _burst(hazard: Burst) -> Caution:
    return Caution(
        "Will burst",
        f"The {hazard.part} breaks at about {number(hazard.burst_rpm)}{SPACE}rpm, and this is {number(hazard.rpm)}"
        f"{SPACE}rpm: strength over stress is {number(hazard.margin, 2)}. Do not turn it so fast: a magnet or a piece "
        "that comes off goes through a hand and a guard.",
    )


def _overspeed(hazard: Overspeed) -> Caution:
    return Caution(
        "Little margin at speed",
        f"The {hazard.part} may burst at {number(hazard.burst_rpm)}{SPACE}rpm, and {number(hazard.fastest)}{SPACE}rpm "
        f"may come about. Stay below {number(hazard.safe_rpm, 2)}{SPACE}rpm, or make it stronger.",
    )


def _hot_copper(hazard: HotCopper) -> Caution:
    when = "At its matched-load power it would carry" if hazard.best else "It carries"
    burns = " Its enamel would burn long before the copper came to rest." if hazard.amps > 2 * hazard.bears else ""
    return Caution(
        "Copper too hot",
        f"{when} {quantity(hazard.amps, 'A')} rms, and all the time the enamel bears {quantity(hazard.bears, 'A')}: "
        f"there the copper comes to {ENAMEL_LIMIT:g}{SPACE}°C (enamel of class 155, still air).{burns} Run it so for "
        "seconds only, or give it less load, less speed or more copper.",
    )


def _hot_magnet(hazard: HotMagnet) -> Caution:
    at = f"At {hazard.temperature:g}{SPACE}°C the magnets are"
    limit = f"grade {hazard.grade} may lose strength for good above {hazard.limit:g}{SPACE}°C"
    if hazard.temperature > hazard.limit:
        now = f"{at} too hot: {limit}, which no figure here counts"
    else:
        now = f"{at} within {hazard.limit - hazard.temperature:g}{SPACE}K of their limit: {limit}"
    return Caution("Hot magnets", f"{now}. Take a grade for higher temperatures, or keep them cooler.")


def caution_document(hazards: Iterable[Hazard], name: str = "") -> list[dict[str, str]]:
    """What bites, for JSON; name: of the machine, where there are several."""
    rows = [(hazard.kind, said(hazard)) for hazard in hazards]
    more = {"machine": name} if name else {}
    return [
        more | {"kind": kind, "text": f"{each.title}: {each.text}".replace(SPACE, " ")} for kind, each in rows
    ]


def caution_lines(hazards: Iterable[Hazard], name: str = "") -> list[str]:
    """What bites, to lead a command's answer: a line each and an empty one, nothing where nothing bites."""
    of = f"{name}: " if name else ""
    lines = [f"! {of}{each.title.upper()}: {each.text}".replace(SPACE, " ") for each in map(said, hazards)]
    return [*lines, ""] if lines else []


def turning_cautions(peak: float, rpm: float, *more: Caution) -> tuple[Caution, ...]:
    """What to mind with anything that turns and has `peak` volts between its ends at `rpm`; more: of its own."""
    volts = (voltage_caution(peak, rpm),) if peak else ()
    return GUARD, *volts, *more, CELLS, RULES


def cautions(figures: Figures) -> tuple[Caution, ...]:
    """What to mind in building and turning this machine, the most urgent first."""
    layout = figures.layout
    return (
        _implants(layout),
        Caution(
            "Magnets pinch and shatter",
            "They leap together from further away than you expect, crush fingers and splinter. Wear eye"
            " protection, handle one at a time, slide them apart, and keep the others out of reach while one"
            " is being fitted. Keep them from children: swallowed magnets clamp the gut, and even a suspicion"
            " needs a doctor at once.",
        ),
        *carrier_cautions(figures),
        _spinning(layout),
        voltage_caution(figures.emf_terminal_peak_V, figures.layout.speed_rpm),
        _heat(figures),
        CELLS,
        RULES,
    )


def _implants(layout: Layout) -> Caution:
    magnet, count = layout.carrier.magnet, layout.carrier.count * layout.carrier.carriers
    alone, together = field_reach(magnet), field_reach(magnet, count)
    return Caution(
        "Strong magnets and implants",
        f"Keep at least {safe_distance(layout):.1f}{SPACE}m from pacemakers and other implants. One"
        f" magnet makes 0.5{SPACE}mT, the level below which no interference is expected, out to"
        f" {quantity(alone * 1e3, 'mm')} on its axis; all {count} aligned, as in a box, out to"
        f" {quantity(together * 1e3, 'mm')}. Keep cards, watches, compasses and disks away too.",
    )


def carrier_cautions(figures: Figures) -> Iterator[Caution]:
    """Facing carriers, and steel, pull magnets to where they may crush."""
    pull, carrier = figures.attraction_N, figures.layout.carrier
    if pull is not None:
        weight = f"{number(pull / GRAVITY, 2)}{SPACE}kg"
        yield Caution(
            "The carriers pull at each other",
            f"At their distance in the machine with {quantity(pull, 'N')}, the weight of {weight}, and more the"
            " nearer they come. Never bring them together by hand: lower one on three threaded rods or wedges, with"
            " stops that hold it before it reaches the coil, and build shaft, bearings and frame for that load. Each"
            f" magnet is pulled out of its pocket with {quantity(pull / carrier.count, 'N', 2)}: glue it well.",
        )
    if carrier.plate:
        yield Caution(
            "Steel draws magnets",
            "A magnet leaps onto its steel plate and its edge chips or a finger is caught. Set it down at the plate's"
            " rim and slide it into its pocket; a magnet that sits askew is slid off sideways, never levered up.",
        )


def _spinning(layout: Layout) -> Caution:
    rim_speed = pi * layout.space.outer_diameter * layout.speed_rpm / 60
    return Caution(
        "A spinning disc throws things",
        f"At {number(layout.speed_rpm)}{SPACE}rpm the rim moves at {quantity(rim_speed, 'm/s')}; the pull on a"
        " magnet grows with the square of the speed. Glue every magnet in and close its pocket so that none"
        " can leave, check the disc before each run, and put a guard around it that keeps out fingers, hair"
        " and sleeves (ISO 14120, ISO 12100).",
    )


def voltage_caution(peak: float, rpm: float) -> Caution:
    """Where ends with `peak` volts between them at `rpm` must no longer be touched."""
    speed = rpm * TOUCH_LIMIT / max(peak, 1e-9)
    if speed <= rpm:
        now = f"The ends are above {TOUCH}, at its own speed already ({quantity(peak, 'V')} peak)"
    else:
        now = f"With nothing joined the ends reach {TOUCH}, at {number(speed)}{SPACE}rpm"
    return Caution(
        "Many turns make high voltages",
        f"{now}, and {quantity(FAST * peak, 'V')} peak at {FAST} times its speed, which an unloaded disc or a drill "
        f"may reach. {INSULATE}",
    )


def _heat(figures: Figures) -> Caution:
    watts = figures.layout.phases * figures.emf_rms_V**2 / figures.resistance_ohm
    rise = watts / (figures.copper_mass_g * 1e-3 * HEAT_CAPACITY)
    row = GRADES.get(figures.layout.carrier.magnet.grade or "")
    limit = (
        f" Grade {row.name} may lose strength for good above {row.max_temperature:g}{SPACE}°C." if row else
        " Magnets lose strength for good when they get hot; ask the maker for the limit."
    )  # fmt: skip
    return Caution(
        "Windings get hot",
        f"Shorted at {number(figures.layout.speed_rpm)}{SPACE}rpm the winding turns up to {quantity(watts, 'W')} into"
        f" heat and warms by {quantity(rise, '°C')} a second at first. Let it cool, and use a former and glue"
        f" that bear it.{limit}",
    )
