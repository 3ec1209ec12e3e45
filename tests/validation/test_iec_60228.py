"""Resistivity and temperature coefficient of copper.

IEC 60228, Conductors of insulated cables, table of the correction factors kt (resistance at 20 °C = kt ×
measured); every printed factor is 1/(1 + 0.004 (T − 20)), the standard's rounded coefficient. IEC
60287-1-1, table 1, and IEC 60028 (from memory): coefficient 0.00393/K at 20 °C. IEC 60028: 58 MS/m at 20
°C.
"""

import pytest

from geometry.stock.wire import CONDUCTIVITY, CONDUCTIVITY_BAND, TEMPERATURE_COEFFICIENT, Wire, resistance_at

KT = {5: 1.064, 25: 0.980, 40: 0.926, 50: 0.893, 60: 0.862, 75: 0.820, 80: 0.806, 90: 0.781, 100: 0.758}


@pytest.mark.parametrize("temperature", KT)
def test_kt(temperature: float):
    # 0.5 %: the standard rounds the coefficient to 0.004, we use 0.00393
    assert 1 / resistance_at(1.0, temperature) == pytest.approx(KT[temperature], rel=5e-3)


def test_coefficient():
    assert TEMPERATURE_COEFFICIENT == 0.00393
    assert resistance_at(2.0, 20.0) == 2.0
    # no resistance at the inferred absolute zero of copper wire, −234.5 °C
    assert resistance_at(1.0, -234.45) == pytest.approx(0, abs=2e-5)


def test_standard_annealed_copper():
    wire = Wire(diameter=1e-3)
    # the wire standard's nominal 58.5 MS/m is 0.86 % above annealed copper's 58; within 1 %, and the band
    # holds 58
    assert wire.resistance_per_metre * wire.copper_area == pytest.approx(1 / 58e6, rel=0.01)
    assert CONDUCTIVITY_BAND[0] <= 58e6 < CONDUCTIVITY < CONDUCTIVITY_BAND[1]
