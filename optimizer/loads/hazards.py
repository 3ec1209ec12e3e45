"""What can hurt people or things, found by the numbers: of a machine at its speed, with its load, on its rig.

A hazard is a fact with its numbers; `caution_words` says it. Touch: 42.4 V peak is the limit of the appliance
standard's low-voltage class (IEC 60335). Static field: 0.5 mT is the level below which no interference with implanted
devices is expected (ICNIRP 2009, Health Phys. 96(4):504).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, pi
from typing import TYPE_CHECKING, ClassVar, TypeAlias

from geometry.machine.layout import Layout
from geometry.stock.magnet import GRADES, Magnet
from optimizer.circuit.load_hazard import LoadHazard, Stress
from optimizer.evaluation.chain import Figures
from optimizer.evaluation.retention import ENOUGH, OVERSPEED, retention
from optimizer.evaluation.thermal import bearable_current, phase_current

if TYPE_CHECKING:
    from optimizer.circuit.loads import Load

TOUCH_LIMIT = 42.4  # V, peak
NEAR = 10.0  # K below a grade's limit: makers' limits hold for one shape, and a magnet's own differs
IMPLANT_LIMIT = 0.5e-3  # T
MIN_DISTANCE = 0.3  # m, to implants, whatever the magnets
FAST = 5  # times the speed: what an unloaded disc or a drill may reach


@dataclass(frozen=True, slots=True, kw_only=True)
class Burst:
    """What turns breaks at the speed it is meant for. margin: strength over stress at `rpm`."""

    kind: ClassVar[str] = "burst"
    part: str
    rpm: float
    burst_rpm: float

    @property
    def margin(self) -> float:
        """Ratio of strength to stress, which grows as speed squared."""
        return (self.burst_rpm / self.rpm) ** 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Overspeed(Burst):
    """What turns holds at its speed, but with less than the asked margin at `fastest` (rpm), which it may reach."""

    kind: ClassVar[str] = "overspeed"
    fastest: float

    @property
    def safe_rpm(self) -> float:
        """The fastest of the machine's speeds, rpm, whose overspeed leaves the asked margin."""
        return self.burst_rpm / ENOUGH**0.5 * self.rpm / self.fastest


@dataclass(frozen=True, slots=True, kw_only=True)
class HighVoltage:
    """Ends that must not be touched. peak: V between two terminals, or, with nothing joined, of direct current."""

    kind: ClassVar[str] = "high-voltage"
    peak: float
    rpm: float

    @property
    def touch_rpm(self) -> float:
        """Below this speed, in rpm, the ends may be touched."""
        return self.rpm * TOUCH_LIMIT / self.peak


@dataclass(frozen=True, slots=True, kw_only=True)
class HotCopper:
    """A current, A rms in each phase, above what the enamel bears all the time. best: at the best power, no load."""

    kind: ClassVar[str] = "hot-copper"
    amps: float
    bears: float
    best: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class HotMagnet:
    """Magnets near or above what their grade bears, °C."""

    kind: ClassVar[str] = "hot-magnet"
    grade: str
    temperature: float
    limit: float


Hazard: TypeAlias = Burst | HighVoltage | HotCopper | HotMagnet | LoadHazard


@dataclass(frozen=True, slots=True, kw_only=True)
class Turning:
    """What turns at `rpm`, at `fastest` at the most, and bursts at `burst_rpm`. peak: V between two ends at `rpm`, with
    nothing joined."""

    rpm: float
    fastest: float
    burst_rpm: float
    peak: float
    part: str = "carrier"

    @property
    def hazards(self) -> tuple[Hazard, ...]:
        """What bites of speed and volts: it breaks at `rpm`, or has too little margin at `fastest`."""
        volts, part, rpm, burst_rpm = voltage_hazards(self.peak, self.rpm), self.part, self.rpm, self.burst_rpm
        if burst_rpm <= rpm:
            return Burst(part=part, rpm=rpm, burst_rpm=burst_rpm), *volts
        if burst_rpm < ENOUGH**0.5 * self.fastest:
            return Overspeed(part=part, rpm=rpm, burst_rpm=burst_rpm, fastest=self.fastest), *volts
        return (*volts,)


def layout_hazards(figures: Figures) -> tuple[Hazard, ...]:
    """Of a machine that fits, at its own speed, the most urgent first."""
    layout = figures.layout
    turning = turning_layout(layout, layout.speed_rpm, figures.emf_terminal_peak_V)
    return *turning.hazards, *heat_hazards(layout, figures.matched_power_W, best=True)


def turning_layout(layout: Layout, rpm: float, peak: float) -> Turning:
    """The layout at a steady speed in rpm; peak: V between two ends, nothing joined."""
    burst_rpm = retention(layout).burst_rpm
    return Turning(rpm=rpm, fastest=OVERSPEED * rpm, burst_rpm=burst_rpm, peak=peak)


def heat_hazards(
    layout: Layout, watts: float, temperature: float = 20.0, *, best: bool = False
) -> Iterator[Hazard]:
    """What bites in copper that has `temperature` (°C) and loses `watts` (W) all the time, and in the magnets.

    Of magnets nothing is known without a grade. Within its limit a magnet is only weaker while it is warm; beyond it,
    it stays weaker.
    """
    amps, bears = phase_current(layout, watts, temperature), bearable_current(layout)
    if amps > bears:
        yield HotCopper(amps=amps, bears=bears, best=best)
    magnet = layout.carrier.magnet
    row = GRADES.get(magnet.grade or "")
    if row is not None and magnet.temperature >= row.max_temperature - NEAR:
        yield HotMagnet(grade=row.name, temperature=magnet.temperature, limit=row.max_temperature)


def voltage_hazards(peak: float, rpm: float) -> Iterator[HighVoltage]:
    """Whether ends with `peak` volts between them at `rpm` must not be touched."""
    if peak > TOUCH_LIMIT:
        yield HighVoltage(peak=peak, rpm=rpm)


def load_hazards(
    load: Load | None, peak: float, rpm: float, loaded: float = 0.0, amps: float = 0.0
) -> Iterator[LoadHazard]:
    """What bites of the load, if there is one.

    peak: V between two ends at `rpm` with nothing joined. loaded, amps: the highest V and A at the load while joined.
    """
    if load is not None:
        yield from load.hazards(Stress(peak=peak, rpm=rpm, volts=loaded, amps=amps))


def field_reach(magnet: Magnet, count: int = 1, flux_density: float = IMPLANT_LIMIT) -> float:
    """Distance in m on the axis at which `count` aligned magnets, as one dipole, make `flux_density` (T).

    z = (μ0 m/(2π B))^(1/3) with the moment m = count · remanence · volume/μ0.
    """
    return (count * magnet.remanence * magnet.volume / (2 * pi * flux_density)) ** (1 / 3)


def safe_distance(layout: Layout) -> float:
    """Distance in m to keep from implants: beyond the reach of all magnets aligned, at least 0.3 m."""
    reach = field_reach(layout.carrier.magnet, layout.carrier.count * layout.carrier.carriers)
    return max(MIN_DISTANCE, ceil(reach * 10 - 1e-9) / 10)
