"""The pull of discs and rings on thick steel.

Image formula, worked out elsewhere from Maxwell's mutual inductance of coaxial circles: the attraction of two equal
coaxial discs a distance 2 g apart, after Vokoun, Beleggia, Heller and Sittner, J. Magn. Magn. Mater. 321 (2009) 3758; a
Maxwell stress integral of one case gives the same. Finite elements: published examples of a general program, recoil
permeability 1.05, plate 1000. Measured pulls lie up to 15 % below such figures (ibid. 323 (2011) 55; Vokoun and
Beleggia, ibid. (2014) 174).
"""

from dataclasses import replace
from math import pi

import pytest

from geometry.stock.magnet import DiscMagnet, Magnet, RingMagnet
from geometry.stock.magnet_shapes import BlockMagnet
from geometry.stock.pull import MU0, pull_on_steel, remanence_of_pull


def disc(diameter: float, thickness: float, remanence: float) -> DiscMagnet:
    """Sizes in mm."""
    sizes = {"diameter": diameter * 1e-3, "thickness": thickness * 1e-3}
    return DiscMagnet(**sizes, remanence=remanence, recoil_permeability=1.0)


LARGE, SMALL = disc(50.8, 16.51, 1.26), disc(4.7625, 0.794, 1.28)
RING = RingMagnet(diameter=50.8e-3, bore=12.7e-3, thickness=19.05e-3, remanence=1.26, recoil_permeability=1.0)


@pytest.mark.parametrize(
    ("magnet", "gap_mm", "newtons"),
    [
        (LARGE, 0.127, 570.7), (SMALL, 0.0254, 2.691), (RING, 0.127, 638.8),
        (disc(20, 5, 1.32), 0.1, 74.42), (disc(20, 5, 1.32), 1, 41.51), (disc(20, 5, 1.32), 2, 26.42),
        (disc(10, 3, 1.32), 0.1, 19.99),
    ],
)  # fmt: skip
def test_image_formula(magnet: Magnet, gap_mm: float, newtons: float) -> None:
    assert pull_on_steel(magnet, gap_mm * 1e-3) == pytest.approx(newtons, rel=1e-3)


@pytest.mark.parametrize(
    ("magnet", "gap_mm", "newtons"), [(LARGE, 0.127, 542), (SMALL, 0.0254, 2.56), (RING, 0.127, 608)]
)
def test_finite_elements(magnet: Magnet, gap_mm: float, newtons: float) -> None:
    """With the recoil permeability that they count with; 2 %: their own plate is no perfect mirror."""
    pull = pull_on_steel(replace(magnet, recoil_permeability=1.05), gap_mm * 1e-3)
    assert pull == pytest.approx(newtons, rel=0.02)


def test_touching_it_nears_the_closed_circuit_s_pull() -> None:
    """Br² A/(2 μ0), which faces without end would have, is a bound: the far face takes much of it back."""
    magnet = disc(20, 5, 1.32)
    bound = 1.32**2 * magnet.area / (2 * MU0)
    assert 0.35 * bound < pull_on_steel(magnet, 5e-6) < bound
    assert pull_on_steel(magnet, 5e-6) == pytest.approx(84.3, rel=0.012)  # at no gap at all


def test_a_square_block_pulls_like_a_disc_between_its_circles() -> None:
    block = BlockMagnet(length=20e-3, width=20e-3, thickness=5e-3, remanence=1.32, recoil_permeability=1.0)
    inside, outside = (pull_on_steel(disc(side, 5, 1.32), 0.5e-3) for side in (20, 20 * 2**0.5))
    assert inside < pull_on_steel(block, 0.5e-3) < outside
    equal = pull_on_steel(disc(20 * (4 / pi) ** 0.5, 5, 1.32), 0.5e-3)
    assert pull_on_steel(block, 0.5e-3) == pytest.approx(equal, rel=0.02)  # of the same area


@pytest.mark.parametrize("magnet", [LARGE, SMALL, RING, replace(LARGE, recoil_permeability=1.1, temperature=80.0)])
def test_the_remanence_comes_back(magnet: Magnet) -> None:
    assert remanence_of_pull(replace(magnet, remanence=0.7), pull_on_steel(magnet)) == pytest.approx(
        magnet.remanence, abs=1e-4
    )
