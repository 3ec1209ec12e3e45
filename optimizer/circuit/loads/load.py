"""What a kind of load answers: what holds the current back, its steady state, its keys, its dangers."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from math import inf
from typing import Any, ClassVar, Literal, Self

import numpy as np

from geometry.curves.curve import Real
from geometry.files.key_tables import quantity
from geometry.files.schema import keyed, require_keyed
from geometry.machine.speed import rad_s_of, rpm_of
from optimizer.circuit.diodes import Diode, Drop, knee_volts
from optimizer.circuit.load_hazard import LoadHazard, Stress
from optimizer.circuit.load_point import Flow, LoadPoint
from optimizer.circuit.rectified import rectified_flow
from optimizer.circuit.thevenin import TheveninSource

MIN_WATTS = 1e-9  # below it a load gets nothing
UNLIMITED = 1e9  # W


OHMS = quantity(minimum="0", maximum="1000000")
VOLTAGE = quantity(minimum="0.1", maximum="1000")
load_key = partial(keyed, comment="")  # of a load: beside it stands nothing but what says how to leave it out
resistance_key = partial(
    load_key, "resistance_ohm", quantity(minimum="0.001", maximum="1000000000"),
    "what the direct current, or the winding's own, flows through", example="20",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Load(ABC):
    """What a winding feeds. Values in ohms, farads, volts and watts.

    CURVE: what other loads of the kind differ in: their ohms, or the volts that they hold. TAKES_CURRENT:
    whether anything is joined at all. STORES: whether what it gets may charge something.
    """

    CURVE: ClassVar[Literal["ohms", "volts"]] = "ohms"
    TAKES_CURRENT: ClassVar[bool] = True
    STORES: ClassVar[bool] = True

    def __post_init__(self) -> None:
        require_keyed(self)

    @property
    def bridge(self) -> Drop | None:
        """The drop of each diode of the bridge that feeds it, V or the law; None of a load straight at the winding."""
        return None

    @property
    def threshold(self) -> float:
        """V that the EMF's peak must beat before any current worth the name flows."""
        return 0.0

    @property
    def limited(self) -> LimitedLoad | None:
        """Itself, of a load that takes no more than it needs; else None."""
        return None

    @property
    def unlimited(self) -> Load:
        """The load, were it to take all that it is given."""
        return self

    @abstractmethod
    def steady(self, source: TheveninSource, speed: float) -> LoadPoint:
        """What it gets at a steady speed of the shaft in rad/s, at least zero."""

    def variant(self, value: float) -> Load:
        """A load of the kind, for its curve, with another resistance, Ω, or another voltage held, V."""
        return replace(self, **{self.CURVE: value})

    def alternating(self, point: LoadPoint) -> tuple[float, float] | None:
        """RMS V and A of a load straight at the winding (of one of three at three phases); else None."""
        del point
        return None

    def behind(self, drop: Drop | None) -> Load:
        """What it is behind an output that has a bridge of its own, of diodes of that drop, or has none (None)."""
        del drop
        return self

    @abstractmethod
    def displayed(self, source: TheveninSource, speed: Real, means: Means) -> tuple[Real, Real]:
        """Volts and amperes (N,) that a run shows at rotor speeds (N,) in rad/s: what someone at the load would ask."""

    def details(self, source: TheveninSource, point: LoadPoint) -> Mapping[str, Any]:
        """What its kind alone has to say at a load point, by keys of JSON, which carry their units."""
        del source, point
        return {}

    def hazards(self, stress: Stress) -> Iterator[LoadHazard]:
        """What bites of this load."""
        del stress
        yield from ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Means:
    """Means over an electrical period at rotor speeds (N,): torque against the shaft, N·m; W of load, copper, diodes
    and eddy currents; direct V and A at the load."""

    torque: Real
    watts: Real
    copper: Real
    diodes: Real
    eddy: Real
    volts: Real
    amps: Real


class BridgeLoad(Load):
    """A load behind a bridge, two diodes of which are in the current's way at any moment.

    drop: the forward drop of one, in V whatever the current, or the law that it follows.
    """

    __slots__ = ()
    drop: Drop

    def __post_init__(self) -> None:
        require_keyed(self)
        if not isinstance(self.drop, Diode) and not 0 <= self.drop < inf:
            raise ValueError(f"drop must be at least zero, was {self.drop:g}")

    @property
    def bridge(self) -> Drop:
        return self.drop

    @property
    def threshold(self) -> float:
        return self.held_volts + 2 * knee_volts(self.drop)

    @property
    def held_volts(self) -> float:
        """V that the load itself holds against the first trace of a current."""
        return 0.0

    def into_sink(self, source: TheveninSource, speed: float, volts: float, ohms: float) -> LoadPoint:
        """What it gets at a steady speed in rad/s while it is a sink that holds `volts` (V) behind `ohms` (Ω)."""
        flow = rectified_flow(source, speed, self.drop, sink=volts, ohms=ohms)
        amps, square = flow.mean_current, flow.mean_square_current
        return load_point(
            source, speed, flow, volts * amps + ohms * square, (volts + ohms * amps, amps)
        )

    def displayed(self, source: TheveninSource, speed: Real, means: Means) -> tuple[Real, Real]:
        works = np.asarray(means.watts > MIN_WATTS, np.float64)
        return means.volts * works, means.amps * works


class LimitedLoad(BridgeLoad):
    """A load that takes no more than `most_watts` W, of which it has `efficiency` from its input, while that stands at
    `least_input` V or more."""

    __slots__ = ()
    least_input: float
    efficiency: float
    most_watts: float

    @property
    def limited(self) -> LimitedLoad:
        return self

    @property
    def unlimited(self) -> Self:
        return self.drawing(UNLIMITED)

    @abstractmethod
    def drawing(self, watts: float) -> Self:
        """The same with another limit, W."""


def load_point(
    source: TheveninSource, speed: float, flow: Flow, watts: float = 0.0, means: tuple[float, float] = (0.0, 0.0)
) -> LoadPoint:
    """What a load gets of a flow at a steady speed in rad/s: W, and mean V and A at it."""
    return LoadPoint(
        speed_rpm=rpm_of(speed),
        frequency_Hz=source.frequency(speed),
        dc_volts=means[0],
        dc_amps=means[1],
        load_watts=watts,
        copper_watts=flow.copper_square * source.resistance,
        diode_watts=flow.diode_watts,
        eddy_watts=source.eddy * speed**2,
        current_rms=(flow.copper_square / source.phases) ** 0.5,
        conducting_share=flow.conduction_ratio,
        waves=flow.waves,
        full=watts > 0,
    )


def steady_state(source: TheveninSource, load: Load, speed_rpm: float) -> LoadPoint:
    """The load point at `speed_rpm` (at least zero). Raises ValueError for a speed below zero or not finite."""
    if not 0 <= speed_rpm < float("inf"):
        raise ValueError(f"speed_rpm must be at least zero, was {speed_rpm:g}")
    return load.steady(source, rad_s_of(speed_rpm))
