"""What can hurt people or things: the cautions of a machine, with its own numbers in them.

Static field: 0.5 mT is the level below which no interference with implanted devices is expected (ICNIRP 2009,
Health Phys. 96(4):504). Touch: 42.4 V peak is the limit of the appliance standard's low-voltage class (IEC
60335). Guards of moving parts: ISO 14120 and ISO 12100 (by title).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, pi

from geometry.grades import GRADES
from geometry.layout import Layout
from geometry.magnet import Magnet
from optimizer.figures import Figures
from optimizer.magnet_heat import heat_sentence
from optimizer.wording import number, quantity

IMPLANT_LIMIT = 0.5e-3  # T
TOUCH_LIMIT = 42.4  # V, peak
LEAST_DISTANCE = 0.3  # m, to implants, whatever the magnets
HEAT_CAPACITY = 385.0  # J/(kg K), copper (from memory)
GRAVITY = 9.81  # m/s²
OVERSPEED = 5  # times the speed: what a hand, a drill or a runaway may reach


@dataclass(frozen=True, slots=True)
class Caution:
    """One danger: what it is in a few words, and what to know and do about it."""

    title: str
    text: str


def field_reach(magnet: Magnet, count: int = 1, flux_density: float = IMPLANT_LIMIT) -> float:
    """Distance in m on the axis at which `count` aligned magnets, as one dipole, make `flux_density` (T).

    z = (μ0 m/(2π B))^(1/3) with the moment m = count · remanence · volume/μ0.
    """
    return (count * magnet.remanence * magnet.volume / (2 * pi * flux_density)) ** (1 / 3)


def safe_distance(layout: Layout) -> float:
    """Distance in m to keep from implants: beyond the reach of all magnets aligned, at least 0.3 m."""
    reach = field_reach(layout.carrier.magnet, layout.carrier.count * layout.carrier.carriers)
    return max(LEAST_DISTANCE, ceil(reach * 10 - 1e-9) / 10)


def cautions(layout: Layout, figures: Figures) -> tuple[Caution, ...]:
    """The cautions for building and turning this machine, the most urgent first."""
    return (
        _implants(layout),
        Caution(
            "Magnets pinch and shatter",
            "They leap together from further away than you expect, crush fingers and splinter. Wear eye"
            " protection, handle one at a time, slide them apart, and keep the others out of reach while one"
            " is being fitted. Keep them from children: swallowed magnets clamp the gut, and even a suspicion"
            " needs a doctor at once.",
        ),
        *carrier_cautions(layout, figures),
        _spinning(layout),
        _voltage(figures),
        _heat(layout, figures),
        *_warm_magnets(figures),
        Caution(
            "Cells need a regulator",
            "Never join this winding to a battery directly, nor through a rectifier alone: its voltage"
            " follows the speed. Use a charge controller made for the cell's chemistry, and a fuse beside the"
            " cell.",
        ),
        Caution(
            "Rules where you are",
            "This is a calculation, not an approval. Local codes and the advice of licensed practice come"
            " first, above all for anything near the mains, in public, or turned by children.",
        ),
    )


def _implants(layout: Layout) -> Caution:
    magnet, count = layout.carrier.magnet, layout.carrier.count * layout.carrier.carriers
    alone, together = field_reach(magnet), field_reach(magnet, count)
    return Caution(
        "Strong magnets and implants",
        f"Keep at least {safe_distance(layout):.1f}\u00a0m from pacemakers and other implants. One"
        " magnet makes 0.5\u00a0mT, the level below which no interference is expected, out to"
        f" {quantity(alone * 1e3, 'mm')} on its axis; all {count} aligned, as in a box, out to"
        f" {quantity(together * 1e3, 'mm')}. Keep cards, watches, compasses and disks away too.",
    )


def carrier_cautions(layout: Layout, figures: Figures) -> Iterator[Caution]:
    """Facing carriers, and steel, pull magnets to where they may crush."""
    pull = figures.attraction_N
    if pull is not None:
        weight = f"{number(pull / GRAVITY, 2)}\u00a0kg"
        yield Caution(
            "The carriers pull at each other",
            f"At their distance in the machine with {quantity(pull, 'N')}, the weight of {weight}, and more the"
            " nearer they come. Never bring them together by hand: lower one on three threaded rods or wedges, with"
            " stops that hold it before it reaches the coil, and build shaft, bearings and frame for that load. Each"
            f" magnet is pulled out of its pocket with {quantity(pull / layout.carrier.count, 'N', 2)}: glue it well.",
        )
    if layout.carrier.plate:
        yield Caution(
            "Steel draws magnets",
            "A magnet leaps onto its steel plate and its edge chips or a finger is caught. Set it down at the plate's"
            " rim and slide it into its pocket; a magnet that sits askew is slid off sideways, never levered up.",
        )


def _spinning(layout: Layout) -> Caution:
    rim_speed = pi * layout.space.outer_diameter * layout.speed_rpm / 60
    return Caution(
        "A spinning disc throws things",
        f"At {number(layout.speed_rpm)}\u00a0rpm the rim moves at {quantity(rim_speed, 'm/s')}; the pull on a"
        " magnet grows with the square of the speed. Glue every magnet in and close its pocket so that none"
        " can leave, check the disc before each run, and put a guard around it that keeps out fingers, hair"
        " and sleeves (ISO 14120, ISO 12100).",
    )


def _voltage(figures: Figures) -> Caution:
    peak = figures.emf_peak_V * max(
        figures.emf_line_rms_V / figures.emf_rms_V, 1.0
    )  # star: between terminals
    speed = figures.speed_rpm * TOUCH_LIMIT / peak
    fast = OVERSPEED * peak
    limit = f"{number(TOUCH_LIMIT)}\u00a0V peak, a common limit for bare parts that may be touched,"
    if speed <= figures.speed_rpm:
        now = f"The winding is above {limit} at its own speed already ({quantity(peak, 'V')} peak)"
    else:
        now = f"The winding reaches {limit} at {number(speed)}\u00a0rpm"
    return Caution(
        "Many turns make high voltages",
        f"{now}, and {quantity(fast, 'V')} peak at {OVERSPEED} times its speed, which an unloaded disc or a"
        " drill may reach. Insulate the ends, never hold them while it turns, and choose rectifier and"
        " capacitors for that voltage.",
    )


def _warm_magnets(figures: Figures) -> Iterator[Caution]:
    sentence = heat_sentence(figures.magnet)
    if sentence:
        yield Caution(
            "The magnets are near what they bear",
            f"{sentence[0].upper()}{sentence[1:]}. Take a grade for higher temperatures, or keep them cooler.",
        )


def _heat(layout: Layout, figures: Figures) -> Caution:
    watts = figures.phases * figures.emf_rms_V**2 / figures.resistance_ohm
    rise = watts / (figures.copper_mass_g * 1e-3 * HEAT_CAPACITY)
    row = GRADES.get(layout.carrier.magnet.grade or "")
    limit = (
        f" Grade {row.name} may lose strength for good above {row.max_temperature:g}\u00a0°C." if row else
        " Magnets lose strength for good when they get hot; ask the maker for the limit."
    )  # fmt: skip
    return Caution(
        "Windings get hot",
        f"Shorted at {number(figures.speed_rpm)}\u00a0rpm the winding turns up to {quantity(watts, 'W')} into"
        f" heat and warms by {quantity(rise, '°C')} a second at first. Let it cool, and use a former and glue"
        f" that bear it.{limit}",
    )
