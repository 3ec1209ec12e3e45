"""How long a supercapacitor takes behind a bridge, against a circuit simulator that runs through every period.

The recorded times came from ngspice 39.3 with the netlists of `spice.py`. Tolerance 0.6 %: the simulator's charge grows
by half periods, some hundred of them, and begins from a current of nothing.
"""

import pytest
from validation.spice import INSTALLED, Case, charging_seconds, speed_of
from validation.test_ngspice import thevenin_of

from optimizer.circuit.diodes import SCHOTTKY
from optimizer.circuit.loads import Supercapacitor

PAIRS = 4
CASES = {
    "ohms": (
        Case({1: 10.0, 3: -1.5}, 80.0, 3.0, 1e-3, 0.35, "Re dc e 0.4\nCe e 0 0.25 IC=1"),
        Supercapacitor(farads=0.25, from_volts=1, to_volts=7, ohms=0.4, drop=0.35),
        2.47784,
    ),
    "much inductance": (
        Case({1: 20.0}, 50.0, 2.0, 50e-3, 0.8, "Re dc e 0.4\nCe e 0 0.1 IC=1"),
        Supercapacitor(farads=0.1, from_volts=1, to_volts=12, ohms=0.4, drop=0.8),
        2.52782,
    ),
    "real diodes": (
        Case({1: 5.0, 3: 1.0}, 50.0, 5.0, 4e-3, SCHOTTKY, "Re dc e 1.0\nCe e 0 0.06 IC=0.5"),
        Supercapacitor(farads=0.06, from_volts=0.5, to_volts=3, ohms=1.0, drop=SCHOTTKY),
        0.933351,
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_recorded_times(name: str):
    case, load, recorded = CASES[name]
    assert load.seconds(thevenin_of(case), speed_of(case, PAIRS)) == pytest.approx(recorded, rel=6e-3)


@pytest.mark.slow
@pytest.mark.skipif(not INSTALLED, reason="ngspice is not installed here; the recorded times are checked")
@pytest.mark.parametrize("name", CASES)
def test_the_netlist_takes_the_recorded_time(name: str, tmp_path):
    case, load, recorded = CASES[name]
    assert charging_seconds(case, load.to_volts, 1.1 * recorded, tmp_path) == pytest.approx(recorded, rel=1e-3)
