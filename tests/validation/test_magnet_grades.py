"""Trade grades of sintered neodymium, against the envelope of three makers' published data sheets.

Makers differ by up to 3 % in remanence and state 70 or 80 °C for N50 and N52, so ranges are checked, and
that ours is the cautious end of them.
"""

import pytest

from geometry.stock.magnet import GRADES, DiscMagnet

# least and largest remanence in T that any of the three prints; least of the minimum values
ENVELOPE = {
    "N35": (1.17, 1.22, 1.17),
    "N38": (1.21, 1.26, 1.21),
    "N40": (1.24, 1.30, 1.24),
    "N42": (1.28, 1.33, 1.28),
    "N45": (1.32, 1.38, 1.32),
    "N48": (1.37, 1.42, 1.37),
    "N50": (1.39, 1.46, 1.40),
    "N52": (1.42, 1.48, 1.43),
}
HOTTEST = {"N50": 70, "N52": 70}


@pytest.mark.parametrize("grade", ENVELOPE)
def test_remanence(grade: str):
    low, high, minimum = ENVELOPE[grade]
    assert low <= GRADES[grade].remanence <= high
    assert GRADES[grade].remanence == minimum
    assert DiscMagnet.of_grade(diameter=0.01, thickness=0.002, grade=grade).remanence == minimum


@pytest.mark.parametrize("grade", ENVELOPE)
def test_hottest_use(grade: str):
    assert GRADES[grade].max_temperature == HOTTEST.get(grade, 80)


def test_recoil_permeability():
    assert {GRADES[grade].recoil_permeability for grade in ENVELOPE} == {1.05}


def test_every_neodymium_grade_is_checked():
    assert {name for name in GRADES if name.startswith("N")} == set(ENVELOPE)
