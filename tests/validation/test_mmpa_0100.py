"""Ferrite magnets and densities.

MMPA Standard 0100-00, Standard specifications for permanent magnet materials: table III-1 (ceramics), the
table of their physical properties, and table IV-4 (neodymium). The trade's common ferrite table (least /
typical, mT): Y30 380/385, Y35 400/410.
"""

import pytest

from geometry.stock.magnet import GRADES


@pytest.mark.parametrize(("grade", "remanence_mT"), [("C5", 380), ("C8", 385)])
def test_table_iii_1(grade: str, remanence_mT: float):
    assert GRADES[grade].remanence * 1e3 == remanence_mT


@pytest.mark.parametrize(("grade", "least_mT", "typical_mT"), [("Y30", 380, 385), ("Y35", 400, 410)])
def test_common_ferrite_table(grade: str, least_mT: float, typical_mT: float):
    assert least_mT == pytest.approx(GRADES[grade].remanence * 1e3)
    assert GRADES[grade].remanence * 1e3 < typical_mT


@pytest.mark.parametrize("grade", ["C5", "C8", "Y30", "Y35"])
def test_ceramics_in_general(grade: str):
    assert 1.05 <= GRADES[grade].recoil_permeability <= 1.2
    assert GRADES[grade].density == 4900
    assert GRADES[grade].max_temperature <= 250


def test_table_iv_4_density_of_neodymium():
    assert {row.density for name, row in GRADES.items() if name.startswith("N")} == {7400}


def test_every_grade_names_its_source():
    assert all(row.source for row in GRADES.values())
