"""The star of slots: equal phases 120° apart, whatever coils and poles; what cannot be connected is refused."""

from cmath import phase
from math import gcd, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.coils.star_of_slots import (
    combinations,
    distribution_factor,
    handbook_winding_factor,
    phasor,
    pitch_factor,
    star_of_slots,
)

PAIRS = st.integers(min_value=1, max_value=40)


@st.composite
def balanced(draw: st.DrawFn) -> tuple[int, int]:
    """Coils and poles that the list of combinations offers."""
    poles = 2 * draw(PAIRS)
    offered = combinations(poles, 3)
    if not offered:
        poles, offered = 8, combinations(8, 3)
    return draw(st.sampled_from(offered)), poles


@given(balanced())
def test_phases_share_out_the_coils_equally(sizes: tuple[int, int]) -> None:
    coils, poles = sizes
    phases = star_of_slots(coils, poles, 3)
    assert sorted(index for members in phases for index, _ in members) == list(range(coils))
    assert {len(members) for members in phases} == {coils // 3}
    assert {sense for members in phases for _, sense in members} <= {-1, 1}


@given(balanced())
def test_phasors_are_equal_and_a_third_of_a_turn_apart(sizes: tuple[int, int]) -> None:
    coils, poles = sizes
    sums = [phasor(members, coils, poles) for members in star_of_slots(coils, poles, 3)]
    assert abs(sum(sums)) < 1e-9 * coils
    assert [abs(total) for total in sums] == pytest.approx([abs(sums[0])] * 3)
    assert sorted(round(phase(total / sums[0]) * 180 / pi) for total in sums) == [-120, 0, 120]


@given(balanced())
def test_every_coil_helps_its_phase(sizes: tuple[int, int]) -> None:
    """Each coil's phasor lies within 30° of its phase's: otherwise another phase or sense would do better."""
    coils, poles = sizes
    for members in star_of_slots(coils, poles, 3):
        total = phasor(members, coils, poles)
        for coil in members:
            away = abs(phase(phasor((coil,), coils, poles) / total)) * 180 / pi
            assert away <= 30 + 1e-6
        # worst of all: coils spread evenly over 60°
        assert distribution_factor(members, coils, poles) >= 3 / pi - 1e-9


@given(balanced(), st.integers(min_value=2, max_value=4))
def test_repeating_the_machine_keeps_its_factors(sizes: tuple[int, int], times: int) -> None:
    coils, poles = sizes
    once, more = (handbook_winding_factor(coils * k, poles * k, 3) for k in (1, times))
    assert more == pytest.approx(once, abs=1e-12)


@pytest.mark.parametrize(
    ("coils", "poles", "would"),
    [(12, 12, "9 or 18"), (12, 6, "9"), (3, 12, "9"), (4, 2, "3"), (10, 8, "9 or 12")],
)
def test_a_refusal_names_the_nearest_numbers_that_serve(coils: int, poles: int, would: str) -> None:
    with pytest.raises(ValueError, match=f"three equal phases 120° apart; {would} would$"):
        star_of_slots(coils, poles, 3)


@given(st.integers(min_value=1, max_value=60), PAIRS)
def test_three_phases_balance_by_the_textbook_s_rule(coils: int, pairs: int) -> None:
    """Coils over their common divisor with the pole pairs must be a multiple of three (Cros and Viarouge, memory)."""
    if coils // gcd(coils, pairs) % 3 == 0:
        assert len(star_of_slots(coils, 2 * pairs, 3)) == 3
        return
    words = f"^{coils} coils before {2 * pairs} poles do not make three equal phases 120° apart(; .* would)?$"
    with pytest.raises(ValueError, match=words):
        star_of_slots(coils, 2 * pairs, 3)


@given(PAIRS)
def test_one_phase_takes_every_coil_in_turn(pairs: int) -> None:
    poles = 2 * pairs
    (members,) = star_of_slots(poles, poles, 1)
    assert [index for index, _ in members] == list(range(poles))
    assert distribution_factor(members, poles, poles) == pytest.approx(1.0)
    assert handbook_winding_factor(poles, poles, 1) == pytest.approx(1.0)
    assert combinations(poles, 1) == [poles]


def test_one_phase_needs_a_coil_for_each_pole() -> None:
    with pytest.raises(ValueError, match=r"^one phase needs one coil per pole \(8\), was 6$"):
        star_of_slots(6, 8, 1)


def test_triplen_harmonics_are_in_step() -> None:
    """Third harmonics of the three phases are alike, so they drop out between lines."""
    sums = [phasor(members, 9, 12, 3) for members in star_of_slots(9, 12, 3)]
    assert abs(sums[0]) == pytest.approx(3.0)
    assert max(abs(total - sums[0]) for total in sums) < 1e-12


@pytest.mark.parametrize(
    ("poles", "offered"),
    [(2, [3]), (4, [3, 6]), (8, [6, 9, 12]), (10, [6, 9, 12, 15]), (12, [9, 18]), (14, [9, 12, 15, 18, 21])],
)
def test_combinations_of_the_trade(poles: int, offered: list[int]) -> None:
    assert combinations(poles, 3) == offered


def test_the_first_phases_of_nine_and_eight() -> None:
    """9 coils before 8 poles: three neighbours a phase, the middle one reversed (any textbook)."""
    first, second, third = star_of_slots(9, 8, 3)
    assert first == ((8, -1), (0, 1), (1, -1))  # in the order they lie around the shaft
    assert {index for index, _ in second} in ({2, 3, 4}, {5, 6, 7})
    assert {index for index, _ in third} in ({2, 3, 4}, {5, 6, 7})
    assert pitch_factor(9, 8) == pytest.approx(0.98481, abs=1e-5)
