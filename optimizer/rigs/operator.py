"""The hand: how hard it pushes at what speed, at what beat, and what it can keep up.

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
from geometry.files.checks import require_not_negative, require_positive

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
    """A hand at work.

    cadence_per_minute: driving strokes, or turns of a crank, in a minute. force: most that it pushes with, N, at
    rest. top_speed: m/s, where no force is left. curve: of force over speed, "linear" or "hill". lasting_power: W,
    mean over strokes, returns and rests. push_share: of each stroke's time that drives (not for a crank). work,
    rest: spells of both in turn, s; rest 0: none.
    """

    cadence_per_minute: float
    force: float = FORCE
    top_speed: float = TOP_SPEED
    curve: str = "linear"
    lasting_power: float = LASTING_POWER
    push_share: float = 0.5
    work: float = 30.0
    rest: float = 0.0

    def __post_init__(self) -> None:
        require_positive(
            self, "cadence_per_minute", "force", "top_speed", "lasting_power", "push_share", "work"
        )
        require_not_negative(self, "rest")
        if self.push_share > 0.95:
            raise ValueError(f"push_share must be at most 0.95, was {self.push_share:g}")
        if self.curve not in CURVES:
            raise ValueError(f"curve must be one of {', '.join(CURVES)}, was {self.curve}")

    @property
    def period(self) -> float:
        """From one stroke or turn to the next, s."""
        return 60 / self.cadence_per_minute

    @property
    def working_share(self) -> float:
        """Share of the time that is not rest."""
        return self.work / (self.work + self.rest)


def force_at(operator: Operator, speed: Real) -> Real:
    """Force in N that the hand has left at `speed` (m/s).

    linear: F0 (1 − v/v0). hill: F0 (1 − v/v0)/(1 + v/(0.25 v0)).
    """
    share = np.clip(speed / operator.top_speed, 0.0, 1.0)
    full = operator.force * (1 - share)
    return full if operator.curve == "linear" else full / (1 + share / HILL)


def eased(operator: Operator, speed: Real, pace: float) -> Real:
    """The same for a hand that eases off from a `pace` (m/s) on, to nothing at a tenth above."""
    left = np.clip(((1 + EASING) * pace - speed) / (EASING * pace), 0.0, 1.0)
    return force_at(operator, speed) * left


def bearable_power(seconds: float) -> float:
    """Most mean power in W that an ordinary person may keep up for so long with the whole body; an arm gives less."""
    minutes = min(max(seconds / 60, CHAMPIONS[0][0]), CHAMPIONS[-1][0])
    times = [log(time) for time, _ in CHAMPIONS]
    powers = [log(power) for _, power in CHAMPIONS]
    return ORDINARY * HORSEPOWER * exp(float(np.interp(log(minutes), times, powers)))
