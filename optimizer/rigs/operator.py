"""The hand: how hard it pushes at what speed and cadence, and what it can keep up.

Defaults, for one arm. Top speed 3.6 m/s: force that falls in a straight line gives most power at half the top
speed, and able-bodied people at a hand cycle gave theirs at a handle speed of 1.81 m/s (Kramer, Hilker and Böhm,
Eur. J. Appl. Physiol. 106(5) 749-757, 2009; abstract). Lasting power 45 W: half of the 90 W (standard deviation
26 W) that they turned with both arms at a fifth of their maximum (Kramer et al., Ergonomics 52(10) 1276-1286,
2009; abstract). Force 75 N: middle of the 50 to 100 N that a handle may take again and again (judgement, no source).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log

import numpy as np

from geometry.curves.curve import Real
from geometry.files.key_tables import choice, quantity
from geometry.files.schema import keyed, require_keyed

CURVES = ("linear", "hill")
FORCE, TOP_SPEED, LASTING_POWER = 75.0, 3.6, 45.0
HILL = 0.25  # a/F0 of muscle: Hill, Proc. R. Soc. B 126 (1938) 136-195 (from memory)
EASING = 0.1  # a hand eases off from its pace to this much above it; judgement, no source

HORSEPOWER = 745.7  # W
# minutes and horsepower that champions keep up; ordinary people less than 0.7 to 0.8 of it
# (Wilkie, Ergonomics 3 (1960) 1-8, abstract: whole body; between the points straight on log scales)
CHAMPIONS = ((1 / 60, 6.0), (0.1, 2.0), (5.0, 0.5), (150.0, 0.4), (480.0, 0.2))
ORDINARY = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Operator:
    """A hand at work, in SI units; spells of work and rest in turn, means over strokes, returns and rests."""

    cadence_per_minute: float = keyed(
        "cadence_per_minute", quantity(minimum="1", maximum="600"), "strokes, or turns of a crank, a minute",
        "Strokes, or turns of a crank, a minute", unit="", comment="strokes, or turns of a crank",
    )  # fmt: skip
    force: float = keyed(
        "force_N", quantity(positive=True, maximum="2000", hint="is the unit newton?"),
        "most that the hand pushes with", "Most force", default=FORCE,
    )  # fmt: skip
    top_speed: float = keyed(
        "top_speed_m_per_s", quantity(minimum="0.01", maximum="20", hint="metres per second"),
        "of the hand, where no force is left", "Speed at which no force is left", default=TOP_SPEED,
    )  # fmt: skip
    curve: str = keyed(
        "force_curve", choice(CURVES), "how force falls with speed", default=CURVES[0], comment=" or ".join(CURVES)
    )
    lasting_power: float = keyed(
        "lasting_power_W", quantity(minimum="0.1", maximum="1500", hint="is the unit watt?"), "mean, rests included",
        default=LASTING_POWER,
    )  # fmt: skip
    push_share: float = keyed(
        "push_share", quantity(minimum="0.05", maximum="0.95", hint="a share, not a percentage"),
        "of a stroke's time that drives", "Share of a stroke's time that drives", default=0.5,
    )  # fmt: skip
    work: float = keyed("work_s", quantity(minimum="1", maximum="86400"), "spell of work", default=30.0)
    rest: float = keyed(
        "rest_s", quantity(minimum="0", maximum="86400"), "and of rest after it; 0 for none", default=0.0
    )

    def __post_init__(self) -> None:
        require_keyed(self)

    @property
    def period(self) -> float:
        """From one stroke or turn to the next, s."""
        return 60 / self.cadence_per_minute

    @property
    def working_share(self) -> float:
        """Share of the time that is not rest, at most 1."""
        return self.work / (self.work + self.rest)


def force_at(operator: Operator, speed: Real) -> Real:
    """Force in N, (N,), that the hand has left at `speed` (N,) in m/s.

    linear: F0 (1 − v/v0). hill: F0 (1 − v/v0)/(1 + v/(0.25 v0)).
    """
    share = np.clip(speed / operator.top_speed, 0.0, 1.0)
    full = operator.force * (1 - share)
    return full if operator.curve == "linear" else full / (1 + share / HILL)


def eased(operator: Operator, speed: Real, pace: float) -> Real:
    """The same, (N,), for a hand that eases off from a `pace` (m/s) on, to nothing at a tenth above."""
    left = np.clip(((1 + EASING) * pace - speed) / (EASING * pace), 0.0, 1.0)
    return force_at(operator, speed) * left


def bearable_power(seconds: float) -> float:
    """Most mean power in W that an ordinary person may keep up for so long with the whole body; an arm gives less."""
    minutes = min(max(seconds / 60, CHAMPIONS[0][0]), CHAMPIONS[-1][0])
    times = [log(time) for time, _ in CHAMPIONS]
    powers = [log(power) for _, power in CHAMPIONS]
    return ORDINARY * HORSEPOWER * exp(float(np.interp(log(minutes), times, powers)))
