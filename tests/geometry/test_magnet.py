"""The disc magnet: what is accepted, and what follows from it."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.stock.demagnetizing import disc_demagnetizing_factor
from geometry.stock.magnet import GRADES, DiscMagnet

LENGTH = st.floats(1e-3, 0.1)


def test_volume_and_mass_by_hand():
    magnet = DiscMagnet.of_grade(diameter=0.02, thickness=0.005, grade="N42")
    assert magnet.volume == pytest.approx(pi * 500e-9)
    assert magnet.mass * 1e3 == pytest.approx(11.6239, abs=1e-4)
    assert (magnet.shape, magnet.grade, magnet.remanence) == ("disc", "N42", 1.28)


def test_density_without_a_grade_follows_the_remanence():
    strong = DiscMagnet(diameter=0.01, thickness=0.01, remanence=1.3)
    weak = DiscMagnet(diameter=0.01, thickness=0.01, remanence=0.4)
    assert strong.mass / weak.mass == pytest.approx(7400 / 4900)


def test_ferrite_brings_its_own_recoil_permeability():
    assert DiscMagnet.of_grade(diameter=0.02, thickness=0.005, grade="Y30").recoil_permeability == 1.1


@given(diameter=LENGTH, thickness=LENGTH)
def test_demagnetizing_factor_is_a_share_of_the_shape_alone(diameter: float, thickness: float):
    factor = disc_demagnetizing_factor(diameter, thickness)
    assert 0 < factor < 1
    assert disc_demagnetizing_factor(3 * diameter, 3 * thickness) == pytest.approx(factor, rel=1e-9)
    assert disc_demagnetizing_factor(diameter, thickness * 1.1) < factor


@given(diameter=LENGTH, thickness=LENGTH, permeability=st.floats(1, 1.3))
def test_polarization_by_its_definition(diameter: float, thickness: float, permeability: float):
    """The polarization J that solves J = Br + (μr − 1) μ0 H with μ0 H = −n J."""
    magnet = DiscMagnet(
        diameter=diameter, thickness=thickness, remanence=1.3, recoil_permeability=permeability
    )
    field = -magnet.demagnetizing_factor * magnet.polarization
    assert magnet.polarization == pytest.approx(1.3 + (permeability - 1) * field, rel=1e-12)


@pytest.mark.parametrize("name", ["diameter", "thickness", "remanence"])
@pytest.mark.parametrize("value", [0.0, -1.0, float("nan")])
def test_sizes_above_zero(name: str, value: float):
    sizes = {"diameter": 0.02, "thickness": 0.005, "remanence": 1.3} | {name: value}
    with pytest.raises(ValueError, match=f"magnet {name} must be above zero, was {value:g}"):
        DiscMagnet(**sizes)


def test_recoil_permeability_of_at_least_one():
    with pytest.raises(ValueError, match=r"recoil permeability must be at least 1, was 0\.9"):
        DiscMagnet(diameter=0.02, thickness=0.005, remanence=1.3, recoil_permeability=0.9)


def test_an_unknown_grade_is_a_key_error():
    assert "N99" not in GRADES
    with pytest.raises(KeyError):
        DiscMagnet.of_grade(diameter=0.02, thickness=0.005, grade="N99")
