"""The pace of a hand that keeps its cadence: it eases off where the cadence asked for is the one that comes about.

Whoever keeps time hears the beat and gives a little more or less until the beats meet: the mean is the cadence asked
for, whatever the load. The hand's force falls over a tenth of its pace (`operator.eased`), so the pace that does this
lies between a tenth below the beat, where nothing brakes, and the beat itself, above which nobody aims: a hand that
falls short of its beat even so is too weak for it, and keeps less.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np

from optimizer.numerics.roots import root_between
from optimizer.rigs.drivetrain import Drivetrain, flow
from optimizer.rigs.motion import stroke_seconds
from optimizer.rigs.operator import EASING

STROKES = 10  # begun at the beat, after which one is like the next
FINE = 1e-4  # of the beat; how near the pace is found


def paced(drivetrain: Drivetrain) -> Drivetrain:
    """The train, its hand easing off so that it keeps its beat if it can."""
    slack = _speeding if drivetrain.transmission.stroke is None else _earliness
    swing = in_full_swing(drivetrain)
    maximum = drivetrain.asked_hand_speed
    if slack(swing, maximum) <= 0:
        return replace(drivetrain, pace=maximum)
    pace = root_between(lambda at: slack(swing, at), maximum / (1 + EASING), maximum, FINE * maximum)
    return replace(drivetrain, pace=pace)


def in_full_swing(drivetrain: Drivetrain) -> Drivetrain:
    """The train without its hand's rests (they keep their share in what lasts), and bursting at no speed."""
    operator = drivetrain.operator
    steady = replace(operator, rest=0.0, lasting_power=operator.lasting_power / operator.working_share)
    return replace(drivetrain, operator=steady, burst_speed=inf)


def _speeding(drivetrain: Drivetrain, pace: float) -> float:
    """How the rotor gains speed at the beat, rad/s²: of a hand that goes round."""
    at_cadence = flow(replace(drivetrain, pace=pace), np.array([drivetrain.asked_speed]), True)
    return float(at_cadence.acceleration[0])


def _earliness(drivetrain: Drivetrain, pace: float) -> float:
    """By how much a stroke is done before its time, s."""
    operator = drivetrain.operator
    return operator.push_share * operator.period - stroke_seconds(replace(drivetrain, pace=pace), STROKES)
