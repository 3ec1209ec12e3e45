"""Self-inductance of a thin solenoid, from which the demagnetizing factor of a disc follows.

T. R. Lyle, "On the self-inductance of circular coils of rectangular section", Philosophical Transactions of
the Royal Society A 213 (1914) 421–435, page 429: solenoid of radius 1 m, one turn. Nagaoka's coefficient K
is what remains of the long solenoid's inductance, L = K μ0 π a²/l, so the mean field in it is K times the
sheet's current per metre; a uniformly magnetized cylinder has that same sheet of current, hence the
demagnetizing factor 1 − K.
"""

from math import pi

import pytest
from scipy.constants import mu_0

from geometry.stock.demagnetizing import disc_demagnetizing_factor

MU_0 = 4e-7 * pi  # as it was defined when the table was made


@pytest.mark.parametrize(
    ("length", "inductance"), [(2.0, 1.08137 * MU_0), (1.0, 2.07463e-6), (0.5, 2.885335e-6)]
)
def test_page_429(length: float, inductance: float):
    nagaoka = inductance * length / (MU_0 * pi)
    assert 1 - disc_demagnetizing_factor(2.0, length) == pytest.approx(nagaoka, rel=1e-5)


@pytest.mark.parametrize(("length", "nagaoka"), [(2.0, 0.688423), (1.0, 0.525510), (0.5, 0.365432)])
def test_nagaoka_recomputed(length: float, nagaoka: float):
    assert 1 - disc_demagnetizing_factor(2.0, length) == pytest.approx(nagaoka, abs=6e-7)


def test_limits():
    assert mu_0 == pytest.approx(MU_0, rel=1e-8)
    assert disc_demagnetizing_factor(1.0, 1e-3) == pytest.approx(1, abs=0.01)  # a thin sheet
    assert disc_demagnetizing_factor(1e-2, 1.0) == pytest.approx(4 / (3 * pi) * 1e-2, rel=0.01)  # a long rod
