"""The pace of a hand that keeps its cadence: it eases off where the cadence asked for is the one that comes about.

Whoever keeps time hears the beat and gives a little more or less until the beats meet: the mean is the cadence asked
for, whatever the load. The hand's force falls over a tenth of its pace (`mover.eased`), so the pace that does this lies
between a tenth below the beat, where nothing brakes, and the beat itself, above which nobody aims: a hand that falls
short of its beat even so is too weak for it, and keeps less.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np

from optimizer.numerics.roots import root_between
from optimizer.rigs.drivetrain import Train, flow
from optimizer.rigs.motion import stroke_seconds
from optimizer.rigs.operator import EASING

STROKES = 10  # begun at the beat, after which one is like the next
FINE = 1e-4  # of the beat; how near the pace is found


def paced(train: Train) -> Train:
    """The train, its hand easing off so that it keeps its beat if it can. Raises TooStiff."""
    slack = _speeding if train.transmission.stroke is None else _earliness
    swing = in_full_swing(train)
    most = train.beat
    if slack(swing, most) <= 0:
        return replace(train, pace=most)
    pace = root_between(lambda at: slack(swing, at), most / (1 + EASING), most, FINE * most)
    return replace(train, pace=pace)


def in_full_swing(train: Train) -> Train:
    """The train without its hand's rests (they keep their share in what lasts), and bursting at no speed."""
    mover = train.mover
    steady = replace(mover, rest=0.0, lasting_power=mover.lasting_power / mover.working_share)
    return replace(train, mover=steady, burst_speed=inf)


def _speeding(train: Train, pace: float) -> float:
    """How the rotor gains speed at the beat, rad/s²: of a hand that goes round."""
    at_beat = flow(replace(train, pace=pace), np.array([train.beat_speed]), True)
    return float(at_beat.acceleration[0])


def _earliness(train: Train, pace: float) -> float:
    """By how much a stroke is done before its time, s."""
    mover = train.mover
    return mover.push_share * mover.period - stroke_seconds(replace(train, pace=pace), STROKES)
