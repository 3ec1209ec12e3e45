"""The Wright omega function of real numbers: the w above zero whose w + ln w is given.

Source: Lawrence, Corless, Jeffrey, ACM Trans. Math. Softw. 38 (2012) 20, whose step triples the digits and more (from
memory; the tests hold it to scipy's).
"""

from __future__ import annotations

import numpy as np

from geometry.curves.curve import Real

LEAST = -50.0  # below which w is the exponential of x to the last digit
STEPS = 2  # from a start within a third


def wright_omega(x: Real) -> Real:
    """Of numbers without unit, any shape."""
    near = np.maximum(x, LEAST)
    rising, falling = np.maximum(near, 1.0), np.exp(np.minimum(near, 1.0))
    w = np.where(near > 1, rising - np.log(rising) * rising / (1 + rising), falling / (1 + falling))
    for _ in range(STEPS):
        rest = near - w - np.log(w)
        ahead = (1 + w) * (1 + w + 2 / 3 * rest)
        w = w * (1 + rest / (1 + w) * (ahead - rest / 2) / (ahead - rest))
    return np.where(x < LEAST, np.exp(np.minimum(x, LEAST)), w)
