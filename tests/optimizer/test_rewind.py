"""Rewinding: turns, room and ohms by hand; ring of coils by closed forms; star against delta."""

from dataclasses import replace
from math import pi, sqrt
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.stock.wire import Wire
from optimizer.circuit.diodes import DIODES
from optimizer.circuit.loads import BridgeResistor, Load, Resistor, UsbConverter
from optimizer.circuit.loads.load import steady_state
from optimizer.motors.motor import (
    OUTPUTS,
    Motor,
    brush_mean,
    brush_share,
    coil_wave,
    line_wave,
)
from optimizer.motors.motor_file import read_rewind, rewind_from_text
from optimizer.motors.rewinding import (
    LEAST_GAIN,
    Armature,
    RewindBrief,
    TurningEnds,
    best_old,
    best_power,
    gain,
    max_turns,
    motor_thevenin,
    no_load_volts,
    old_coils,
    output_volts,
    pick,
    resistance,
    rewind,
    sweep,
)
from optimizer.rigs.rig import GearStage
from optimizer.starters.file_kinds import example_text
from optimizer.words.rewind_words import headline, leave_sentence, notes
from optimizer.words.wording import quantity

MOTOR = Motor(title="toy", turns=24, diameter=0.6e-3, mean_turn=0.04, room=7.91e-6, constant=0.25 / (20 * pi))
WIRE = Wire(diameter=0.224e-3)
SPEC = Path(__file__).parents[1] / "common_practice" / "motor.toml"
SPEC_BRIEF: RewindBrief = read_rewind(SPEC)
odd = st.integers(1, 7).map(lambda half: 2 * half + 1)


def test_by_hand() -> None:
    """Worked by hand: 150 turns of 0.224 mm for 24 of 0.6 mm, 40 mm a turn, 0.25 V at 600 rpm.

    Volts 0.25 · 150/24 = 1.5625 V. A circle of 0.252 mm is 0.04988 mm², 150 of them 7.481 mm². One coil is 6 m of
    0.03941 mm² copper: 6/(58.5 · 0.03941) = 2.6026 Ω, two thirds between the brushes 1.7351 Ω. Best power
    1.5625²/(4 · 1.7351) = 0.3518 W.
    """
    new = rewind(MOTOR, WIRE, 150)
    assert output_volts(new, 600) == pytest.approx(1.5625)
    assert new.room_share * MOTOR.room == pytest.approx(7.481e-6, rel=1e-4)
    assert new.coil_resistance == pytest.approx(2.6026, rel=1e-4)
    assert resistance(new) == pytest.approx(1.7351, rel=1e-4)
    assert best_power(new, 600) == pytest.approx((1.7351, 0.3518), rel=1e-3)
    assert new.wire_length == pytest.approx(18)


def test_ring_of_coils_between_two_brushes_by_network() -> None:
    """The two paths in parallel, as a resistor network would have them."""
    for coils in (3, 5, 7, 11):
        short, long = (coils - 1) / 2, (coils + 1) / 2
        assert brush_share(coils) == pytest.approx(1 / (1 / short + 1 / long))
    assert brush_share(3) == pytest.approx(2 / 3)


@given(odd)
def test_commutated_mean_of_a_sine_is_n_over_pi(coils: int) -> None:
    one = np.ones(1)
    assert brush_mean(coils, one, one) == pytest.approx(coils / pi)


@given(odd, st.floats(1.1, 3.1))
def test_commutated_mean_against_the_path_summed_coil_by_coil(coils: int, arc: float) -> None:
    orders, wave = coil_wave(coils, arc)
    path = (coils - 1) // 2
    middle = pi / 2 + (path - 1) * pi / coils  # where the fundamental of the path peaks
    nodes, weights = np.polynomial.legendre.leggauss(60)
    angle = middle + nodes * pi / (2 * coils)
    shifted = angle - 2 * pi / coils * np.arange(path)[:, None]
    volts = (np.sin(shifted[..., None] * orders) @ wave).sum(axis=0)
    assert brush_mean(coils, orders, wave) == pytest.approx(float(volts @ weights) / 2, rel=1e-9)


@given(odd, st.floats(1.1, 3.1))
def test_coils_of_a_ring_add_up_to_nothing(coils: int, arc: float) -> None:
    """No order that the number of coils divides: of three no triplen, so no current in the ring."""
    orders, wave = coil_wave(coils, arc)
    assert not (orders % coils == 0).any()
    angle = np.linspace(0, 2 * pi, 50)
    total = sum(np.sin(np.multiply.outer(angle - 2 * pi * k / coils, orders)) @ wave for k in range(coils))
    assert np.abs(total).max() < 1e-9


def test_triplens_would_not_show_between_lines_in_star() -> None:
    assert line_wave(np.array([3.0, 9.0]), np.ones(2), "star") == pytest.approx([0, 0], abs=1e-12)


def test_star_against_delta() -> None:
    """√3 times the volts, 3 times the ohms, the same watts; behind six ideal diodes √3 times again."""
    star, delta = (rewind(MOTOR, WIRE, 150, output) for output in ("star", "delta"))
    assert output_volts(star, 600) == pytest.approx(sqrt(3) * output_volts(delta, 600))
    assert resistance(star) == pytest.approx(3 * resistance(delta))
    assert best_power(star, 600).watts == pytest.approx(best_power(delta, 600).watts)
    bridges = [replace(one, output=f"{one.output}-bridge", drop=0.0) for one in (star, delta)]
    star_volts, delta_volts = (output_volts(one, 600) for one in bridges)
    assert star_volts == pytest.approx(sqrt(3) * delta_volts, rel=0.04)  # of a sine exactly, 3√3/π and 3/π of its peak
    assert 1.2 < star_volts / output_volts(star, 600) < sqrt(2)  # of a sine 1.35 times the RMS between two lines


def test_three_loads_take_twice_what_one_between_two_lines_does() -> None:
    brief = rewind_from_text(example_text("motor"), "motor.toml")
    chosen = pick(sweep(brief))
    star = replace(chosen.armature, output="star")
    volts = output_volts(star, brief.turning.relative_rpm) / sqrt(3)
    each = volts**2 / (4 * resistance(star) / 2)  # E²/(4 R) of a phase, whose ohms are half of those of two
    assert 3 * each == pytest.approx(2 * best_power(star, brief.turning.relative_rpm).watts)
    assert f"would take {quantity(3 * each, 'W')} at best in all" in notes(brief, chosen)[-1]


def test_line_wave_in_star_is_one_coil_less_the_next() -> None:
    orders, wave = coil_wave(3, 2.4)
    angle = np.linspace(0, 2 * pi, 97)

    def coil(at: np.ndarray) -> np.ndarray:
        return np.sin(np.multiply.outer(at, orders)) @ wave

    # e_a − e_b has its own zero 30° before that of coil a
    line = np.sin(np.multiply.outer(angle, orders)) @ line_wave(orders, wave, "star")
    assert line == pytest.approx(coil(angle - pi / 6) - coil(angle - pi / 6 - 2 * pi / 3), abs=1e-9)


@given(st.floats(0.05, 1), st.floats(50, 3000))
def test_laws_of_rewinding(size: float, rpm: float) -> None:
    """As many turns as fit and not one more; volts by turns; V²/(Ω · copper area per slot) the same for every wire."""
    wire = Wire(diameter=size * 1e-3)
    new = rewind(MOTOR, wire)
    assert new.room_share <= 1 + 1e-9
    with pytest.raises(ValueError, match=f"turns must be from 1 to {new.turns} of"):
        rewind(MOTOR, wire, int(new.turns) + 1)
    volts, ohms = output_volts(new, rpm), resistance(new)
    assert volts == pytest.approx(MOTOR.constant * rpm * pi / 30 * new.turns / 24)
    copper = new.turns * wire.copper_area
    old_copper = MOTOR.turns * MOTOR.copper_area
    old = (MOTOR.constant * rpm * pi / 30) ** 2 / (MOTOR.coil_resistance * 2 / 3)
    assert volts**2 / ohms / copper == pytest.approx(old / old_copper)


def test_only_the_speed_of_shaft_against_body_counts() -> None:
    gears = (GearStage(driver_teeth=100, driven_teeth=30),)
    assert TurningEnds(shaft_rpm=300, body_rpm=-300).relative_rpm == 600
    assert TurningEnds(shaft_rpm=300, body_rpm=300).relative_rpm == 0
    assert TurningEnds(body_rpm=600).relative_rpm == 600
    assert TurningEnds(shaft_rpm=60, gears=gears).relative_rpm == pytest.approx(200)
    assert TurningEnds(body_rpm=-60, gears=gears).relative_rpm == pytest.approx(200)


@pytest.mark.parametrize("output", ["star-bridge", "delta-bridge"])
def test_three_lines_through_six_diodes(output: str) -> None:
    """Volts, ohms and watts of the tables are those of the circuit, real diodes and all."""
    new = rewind(MOTOR, WIRE, 150, output, 0.2)
    source = motor_thevenin(new)
    free = steady_state(source, BridgeResistor(ohms=1e9, drop=0.2), 600)
    assert free.dc_volts == pytest.approx(output_volts(new, 600), rel=1e-4)
    assert source.terminal_resistance == pytest.approx(resistance(new))
    ideal = replace(new, drop=0.0)
    matched = output_volts(ideal, 600) ** 2 / (4 * resistance(new))
    assert 1.0 < best_power(ideal, 600).watts / matched < 1.12  # three lines carry, not two at a time
    brief = replace(SPEC_BRIEF, wires=(WIRE,), turns=150, output=output, load=Resistor(ohms=15), drop=0.2)
    (row,) = sweep(brief)
    point = steady_state(source, BridgeResistor(ohms=15, drop=0.2), SPEC_BRIEF.turning.relative_rpm)
    assert row.load_watts == pytest.approx(point.load_watts)


LOADS = (
    None, Resistor(ohms=0.05), Resistor(ohms=2), Resistor(ohms=40), BridgeResistor(ohms=4, drop=0.2),
    UsbConverter(least_input=0.4, efficiency=0.9, drop=0.1, most_watts=5),
)  # fmt: skip


@pytest.mark.parametrize("output", OUTPUTS)
@pytest.mark.parametrize("load", LOADS)
def test_no_load_gets_more_than_the_best(output: str, load: Load | None) -> None:
    brief = replace(SPEC_BRIEF, wires=(WIRE,), turns=None, output=output, load=load, drop=0.2)
    for row in (*sweep(brief), *old_coils(brief)):
        assert (row.load_watts or 0.0) <= row.best_watts * (1 + 1e-4)
        if row.best_watts:
            near = [Resistor(ohms=factor * row.best_ohms) for factor in (0.9, 1, 1.1)]
            drop, rpm = row.armature.diodes, brief.turning.relative_rpm
            tried = [steady_state(motor_thevenin(row.armature), one.behind(drop), rpm).load_watts for one in near]
            assert max(tried) == pytest.approx(tried[1])
            assert tried[1] == pytest.approx(row.best_watts)


@pytest.mark.slow
def test_two_real_diodes_stand_in_every_figure_behind_a_bridge() -> None:
    brief = replace(SPEC_BRIEF, output="star-bridge", load=Resistor(ohms=15))
    assert brief.diodes == DIODES["silicon"]
    assert replace(brief, load=BridgeResistor(ohms=15, drop=0.3)).diodes == 0.3
    rows = [pick(sweep(replace(brief, drop=drop))) for drop in (0.0, 0.3, DIODES["silicon"])]
    volts = [row.volts for row in rows]
    assert volts[0] - volts[1] == pytest.approx(0.6, rel=0.02)
    assert [row.best_watts for row in rows] == sorted((row.best_watts for row in rows), reverse=True)
    assert "behind six diodes" in headline(brief, rows[-1])
    told = " ".join(notes(brief, rows[-1])).replace("\xa0", " ")
    assert "silicon, 0.663 V each at 10 mA and 0.912 V at 1 A, and are in all these figures" in told


def test_old_coils_come_first_and_are_left_where_they_do_as_well() -> None:
    """The same wire and turns again are nobody's afternoon: it is said to leave them."""
    brief = replace(SPEC_BRIEF, wires=(Wire(diameter=SPEC_BRIEF.motor.diameter),), turns=None, load=None)
    chosen = pick(sweep(brief))
    assert chosen.armature.turns == SPEC_BRIEF.motor.turns
    old = old_coils(brief)
    assert [row.armature.output for row in old][-1] == "commutator"
    assert gain(old, chosen) == pytest.approx(0, abs=1e-9)
    said = headline(brief, chosen)
    assert said.startswith("Leave the old coils")
    assert "Rewinding brings nothing" in said
    assert "in place of" not in said


@given(st.floats(0.01, 30), st.sampled_from(sorted(OUTPUTS)))
@settings(max_examples=12, deadline=None)
def test_what_is_said_follows_from_the_rows(ohms: float, output: str) -> None:
    brief = replace(SPEC_BRIEF, output=output, load=Resistor(ohms=ohms), turns=None, wires=SPEC_BRIEF.wires[::3])
    chosen, old = pick(sweep(brief)), old_coils(brief)
    maximum = best_old(old, chosen).load_watts or 0.0
    worth = (chosen.load_watts or 0.0) >= (1 + LEAST_GAIN) * maximum
    assert headline(brief, chosen).startswith("Wind 3 coils" if worth and maximum else ("Leave", "Wind"))
    assert (leave_sentence(brief, chosen) is None) == (gain(old, chosen) >= LEAST_GAIN)
    assert worth == (gain(old, chosen) >= LEAST_GAIN) or not maximum


def test_halving_by_one_load_on_three_lines_is_not_put_down_to_the_wire() -> None:
    """Watts before and after are of the same tapping; what the new copper lacks is the only difference."""
    brief = replace(SPEC_BRIEF, output="star", wires=(WIRE,), turns=150, load=None)
    chosen = pick(sweep(brief))
    share = 150 * WIRE.copper_area / (SPEC_BRIEF.motor.turns * SPEC_BRIEF.motor.copper_area)
    before = next(row for row in old_coils(brief) if row.armature.output == "star").best_watts
    assert chosen.best_watts == pytest.approx(share * before, rel=1e-6)
    assert gain(old_coils(brief), chosen) == pytest.approx(share - 1, rel=1e-6)
    assert "As found, through its commutator, the motor gives" in headline(brief, chosen)
    told = " ".join(notes(brief, chosen))
    assert f"{quantity(before, 'W')} at best, the new ones {quantity(chosen.best_watts, 'W')}" in told
    assert "never watts" not in told


def test_brushes_and_diodes_are_named_where_watts_grow() -> None:
    brief = replace(SPEC_BRIEF, motor=replace(MOTOR, brush_resistance=0.3), load=None)
    chosen = pick(sweep(brief))
    assert chosen.best_watts > old_coils(brief)[-1].best_watts
    assert "Brushes and leads keep their ohms" in " ".join(notes(brief, chosen))
    bridged = replace(SPEC_BRIEF, output="star-bridge", load=None)
    assert "Two diodes keep their volts" in " ".join(notes(bridged, pick(sweep(bridged))))


@pytest.mark.parametrize("output", ["commutator", "star", "delta"])
def test_source_gives_the_same_volts_and_ohms(output: str) -> None:
    new = rewind(MOTOR, WIRE, 150, output)
    source = motor_thevenin(new)
    assert source.emf_constant * 20 * pi == pytest.approx(output_volts(new, 600))
    assert source.resistance == pytest.approx(resistance(new))
    into_match = steady_state(source, Resistor(ohms=source.resistance), 600)
    assert into_match.load_watts == pytest.approx(best_power(new, 600).watts, rel=1e-6)


def test_inductance_moves_the_best_load_away_from_the_ohms() -> None:
    """Of a sine |R + jX|; of a real wave near it."""
    new = rewind(replace(MOTOR, inductance=2e-3), WIRE, 150, "star")
    source = motor_thevenin(new)
    reactance = 2 * pi * 10 * source.inductance
    assert reactance > source.resistance
    assert best_power(new, 600).ohms == pytest.approx(abs(source.resistance + 1j * reactance), rel=0.05)


def test_brushes_stay_cold_and_inductance_goes_by_turns_squared() -> None:
    motor = replace(MOTOR, brush_resistance=0.5, inductance=1e-5)
    new = rewind(motor, WIRE, 150)
    warm = motor_thevenin(new, 120)
    assert warm.resistance == pytest.approx((resistance(new) - 0.5) * (1 + 0.00393 * 100) + 0.5)
    assert warm.inductance == pytest.approx(1e-5 * 6.25**2)
    assert motor_thevenin(rewind(motor, WIRE, 150, "star")).inductance == pytest.approx(3e-5 * 6.25**2)


def test_pick_is_the_best_of_the_sweep_for_the_load() -> None:
    brief = replace(read_rewind(SPEC), turns=None)
    for load in (Resistor(ohms=0.5), Resistor(ohms=5), BridgeResistor(ohms=40, drop=0.35)):
        rows = sweep(replace(brief, load=load))
        assert len(rows) == 8
        assert pick(rows).load_watts == max(row.load_watts or 0 for row in rows)
    thick, thin = (pick(sweep(replace(brief, load=Resistor(ohms=ohms)))).armature for ohms in (0.2, 50))
    assert thick.wire.diameter > thin.wire.diameter


def test_five_coils_have_no_lines() -> None:
    motor = replace(MOTOR, coils=5)
    assert max_turns(motor, WIRE) == max_turns(MOTOR, WIRE)
    assert set(no_load_volts(rewind(motor, WIRE), 600)) == {"commutator", "phase"}
    with pytest.raises(ValueError, match="star takes 3 coils, was 5"):
        rewind(motor, WIRE, 10, "star")
    rows = old_coils(replace(SPEC_BRIEF, motor=motor))
    assert [row.armature for row in rows] == [Armature(motor=motor, wire=Wire(diameter=0.6e-3), turns=24)]
