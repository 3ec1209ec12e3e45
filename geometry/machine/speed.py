"""Speed: the one conversion between turns a minute and radians a second."""

from __future__ import annotations

from math import pi
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Number = TypeVar("Number", float, NDArray[np.float64])


def rad_s_of(rpm: Number) -> Number:
    """The angular speed, rad/s, of a number or an array of any shape in rpm."""
    return rpm * (2 * pi / 60)


def rpm_of(rad_s: Number) -> Number:
    """The speed in rpm of a number or an array of any shape in rad/s."""
    return rad_s * (30 / pi)
