"""American wire gauges, and the British ones that they must not be taken for.

ASTM B258, Standard Specification for Standard Nominal Diameters and Cross-Sectional Areas of AWG Sizes of Solid Round
Wires Used as Electrical Conductors: the rule 0.005 in · 92^((36 − n)/39) from memory; diameters in inches as printed in
a wire maker's table, to its four decimals; millimetres from the rule, worked out elsewhere to a tenth of a micrometre.
BS 3737:1964 (withdrawn), standard wire gauge: a table without a rule, exact inches.
"""

import pytest

from geometry.stock.wire import AWG, Wire

INCHES = {18: 0.0403, 22: 0.0253, 24: 0.0201, 26: 0.0159, 28: 0.0126, 30: 0.0100, 36: 0.0050}
MILLIMETRES = {10: 2.5882, 18: 1.0237, 20: 0.8118, 22: 0.6438, 24: 0.5106, 26: 0.4049, 28: 0.3211, 30: 0.2546,
               32: 0.2019, 34: 0.1601, 36: 0.1270, 40: 0.0799}  # fmt: skip
SWG_INCHES = {16: 0.064, 18: 0.048, 20: 0.036, 22: 0.028, 24: 0.022, 26: 0.018, 28: 0.0148, 30: 0.0124, 32: 0.0108,
              34: 0.0092, 36: 0.0076, 40: 0.0048}  # fmt: skip
STEP = 1.122932  # the 39th root of 92


@pytest.mark.parametrize("gauge", INCHES)
def test_inches_of_a_makers_table(gauge: int) -> None:
    assert AWG[gauge] / 25.4e-3 == pytest.approx(INCHES[gauge], abs=0.5e-4)


@pytest.mark.parametrize("gauge", MILLIMETRES)
def test_millimetres(gauge: int) -> None:
    assert AWG[gauge] * 1e3 == pytest.approx(MILLIMETRES[gauge], abs=0.5e-4)


def test_each_gauge_is_a_step_thinner() -> None:
    for gauge in range(10, 52):
        assert AWG[gauge - 1] / AWG[gauge] == pytest.approx(STEP, rel=5e-5)  # the thinnest are rounded to a nanometre


@pytest.mark.parametrize("gauge", SWG_INCHES)
def test_a_british_gauge_is_another_size(gauge: int) -> None:
    """As millimetres it is a wire like any other; AWG of the same number is at least 9 % thinner."""
    wire = Wire(diameter=SWG_INCHES[gauge] * 25.4e-3)
    assert wire.gauge is None
    assert wire.diameter > 1.09 * AWG[gauge]
