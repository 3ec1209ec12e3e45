"""A motor's file: what is reckoned from what, and what is said of missing and contradicting measurements."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.files.reading import Fault, FileFaults
from optimizer.motors.motor_file import rewind_from_text

WIRE = "wire_diameter_mm = 0.6"
WOUND = ("turns = 24", "mean_turn_mm = 40")
VOLTS = "volts = 0.25\nrpm = 600"
TURNING = "[turning]\nshaft_rpm = 600"


def spec(*lines: str, rest: str = TURNING) -> str:
    return "\n".join(["[motor]", *lines, rest, ""])


def faults(text: str) -> str:
    with pytest.raises(FileFaults) as caught:
        rewind_from_text(text, "motor.toml")
    return str(caught.value)


def test_speed_constant_from_volts_at_a_speed() -> None:
    motor = rewind_from_text(spec(WIRE, "turns = 24", "mean_turn_mm = 40", VOLTS), "m").motor
    assert motor.constant == pytest.approx(0.25 / (20 * pi))
    other = rewind_from_text(
        spec(WIRE, "turns = 24", "mean_turn_mm = 40", "speed_constant_rpm_per_V = 2400"), "m"
    )
    assert other.motor.constant == pytest.approx(motor.constant)


def test_turns_follow_from_resistance_wire_and_length_of_a_turn() -> None:
    # 24 turns of 40 mm, 0.6 mm wire: 0.96 m / (58.5e6 · 0.28274e-6) = 0.05804 Ω a coil, two thirds between the brushes
    motor = rewind_from_text(spec(WIRE, "resistance_ohm = 0.038693", "mean_turn_mm = 40", VOLTS), "m").motor
    assert motor.turns == pytest.approx(24, rel=1e-4)
    assert motor.reckoned == "turns"


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (
            ("turns = 24", "resistance_ohm = 0.21"),
            ("motor.turns: must go with resistance_ohm", "a turn of 217 mm"),
        ),
        (("mean_turn_mm = 40", "resistance_ohm = 2"), ("motor.mean_turn_mm: must go with", "1.24e+03 turns")),
        (("turns = 900", "resistance_ohm = 0.21"), ("a turn of 5.79 mm", "around")),
    ],
)
def test_what_follows_and_cannot_well_be_is_asked_about(
    given: tuple[str, str], words: tuple[str, ...]
) -> None:
    """0.21 Ω read with the probes' own: 24 turns would measure 217 mm each; with its length stated it is taken."""
    with pytest.raises(FileFaults) as caught:
        rewind_from_text(spec(WIRE, *given, VOLTS), "motor.toml")
    assert all(word in str(caught.value) for word in words)
    both = spec(WIRE, "turns = 24", "mean_turn_mm = 217", "resistance_ohm = 0.21", VOLTS)
    assert rewind_from_text(both, "m").motor.mean_turn == pytest.approx(0.217)


def test_length_of_a_turn_follows_from_resistance_wire_and_turns() -> None:
    motor = rewind_from_text(spec(WIRE, "resistance_ohm = 0.038693", "turns = 24", VOLTS), "m").motor
    assert motor.mean_turn == pytest.approx(0.04, rel=1e-4)


def test_resistance_beyond_the_winding_is_the_brushes() -> None:
    lines = (WIRE, "turns = 24", "mean_turn_mm = 40", "resistance_ohm = 0.138693", VOLTS)
    assert rewind_from_text(spec(*lines), "m").motor.brush_resistance == pytest.approx(0.1, rel=1e-4)


def test_brushes_that_are_stated_are_no_part_of_the_winding() -> None:
    stated = ("resistance_ohm = 2.038693", "brushes_ohm = 2")
    motor = rewind_from_text(spec(WIRE, *WOUND, *stated, VOLTS), "m").motor
    assert motor.brush_resistance == 2
    for known, reckoned in ((WOUND[0], "mean_turn"), (WOUND[1], "turns")):
        found = rewind_from_text(spec(WIRE, known, *stated, VOLTS), "m").motor
        assert found.reckoned == reckoned
        assert (found.turns, found.mean_turn, found.brush_resistance) == pytest.approx((24, 0.04, 2), rel=1e-4)


def test_any_wire_is_taken() -> None:
    rest = TURNING + "\n[rewind]\nwires_mm = [0.05, 0.213, 0.5105, 0.61]"
    wires = rewind_from_text(spec("wire_diameter_mm = 0.61", *WOUND, VOLTS, rest=rest), "m").wires
    assert [wire.diameter_mm for wire in wires] == [0.05, 0.213, 0.5105, 0.61]


def test_slot_area_takes_the_fill_factor() -> None:
    rest = TURNING + "\n[rewind]\nfill_factor = 0.5"
    text = spec(WIRE, "turns = 24", "mean_turn_mm = 40", VOLTS, "slot_area_mm2 = 20", rest=rest)
    assert rewind_from_text(text, "m").motor.room == pytest.approx(10e-6)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (spec(*WOUND, VOLTS), ("motor: wire_diameter_mm must be given: scrape", "micrometer")),
        (spec(WIRE, "mean_turn_mm = 40", VOLTS), ("motor: turns must be given", "count the turns while unwinding")),
        (spec(WIRE, "turns = 24", VOLTS), ("mean_turn_mm must be given, or resistance_ohm", "unwind one turn")),
        (spec(WIRE, "turns = 24", "mean_turn_mm = 40"), ("volts must be given with rpm", "drill", "nothing joined")),
        (spec(WIRE, "turns = 24", "mean_turn_mm = 40", "volts = 1"), ("rpm must be given",)),
        (
            spec(WIRE, "turns = 24", "mean_turn_mm = 40", VOLTS, "speed_constant_rpm_per_V = 9"),
            ("motor.speed_constant_rpm_per_V: must be left out when volts or rpm is given, was 9",),
        ),
        (spec("coils = 4", WIRE, *WOUND, VOLTS), ("motor.coils: must be an odd number", "was 4")),
        (
            spec(WIRE, "turns = 24", "mean_turn_mm = 40", VOLTS, "resistance_ohm = 0.01"),
            ("motor.toml:7: motor.resistance_ohm: must be at least about 0.0387", "was 0.01"),
        ),
        (
            # 24 turns come to 0.0387 Ω, brushes and leads to half an ohm at most unless they are stated
            spec(WIRE, *WOUND, VOLTS, "resistance_ohm = 0.6"),
            ("motor.toml:3: motor.turns: must agree with resistance_ohm and mean_turn_mm", "which 372 turns would have",
             "was 24 (count one coil again", "say brushes_ohm = 0.561"),
        ),
        (
            spec("wire_diameter_mm = 0.2", "turns = 500", *WOUND[1:], VOLTS, "resistance_ohm = 13", "brushes_ohm = 1"),
            ("motor.turns: must agree", "7.25 Ω in 3 coils", "but 12 Ω were read for them", "827 turns"),
        ),
        (
            spec(WIRE, "mean_turn_mm = 40", VOLTS, "resistance_ohm = 0.5", "brushes_ohm = 0.5"),
            ("motor.brushes_ohm: must be less than resistance_ohm (0.5)", "was 0.5"),
        ),
        (
            spec(WIRE, "turns = 24", "mean_turn_mm = 40", VOLTS, "slot_area_mm2 = 5"),
            ("motor.slot_area_mm2: must be at least 7.94", "was 5"),
        ),
        (
            spec(WIRE, "turns = 24", "mean_turn_mm = 40", VOLTS, rest="[turning]\nshaft_rpm = 90\nbody_rpm = 90"),
            ("turning: shaft_rpm and body_rpm must differ", "were 90 and 90"),
        ),
        (
            spec("coils = 5", WIRE, *WOUND, VOLTS, rest=TURNING + '\n[rewind]\noutput = "star"'),
            ('rewind.output: must be "commutator" for an armature of 5 coils', 'was "star"'),
        ),
        (
            spec(WIRE, "turns = 24", "mean_turn_mm = 40", VOLTS, rest=TURNING + "\n[rewind]\nturns = 5000"),
            ("rewind.turns: must fit with a wire at hand", "takes at most", "was 5000"),
        ),
        (
            spec(WIRE, "turns = 24", "mean_turn_mm = 40", VOLTS, rest=TURNING + "\n[gears]\ndriver_teeth = 3"),
            ("gears: must be a list of [[gears]] tables",),
        ),
    ],
)  # fmt: skip
def test_faults_name_the_key_and_say_what_to_do(text: str, told: tuple[str, ...]) -> None:
    said = faults(text)
    for words in told:
        assert words in said


@given(
    st.dictionaries(
        st.sampled_from(
            ["coils", "turns", "wire_diameter_mm", "mean_turn_mm", "resistance_ohm", "volts", "rpm"]
        ),
        st.one_of(st.integers(-5, 500), st.floats(allow_nan=True), st.text(max_size=3), st.booleans()),
    )
)
def test_any_measurement_is_read_or_refused_in_words(values: dict[str, object]) -> None:
    def shown(value: object) -> str:
        if isinstance(value, bool):
            return str(value).lower()
        if isinstance(value, str):
            return '"' + "".join(c for c in value if c.isalnum()) + '"'
        return repr(value)

    text = spec(*(f"{name} = {shown(value)}" for name, value in values.items()))
    told: tuple[Fault, ...] = ()
    turns = 0.0
    try:
        turns = rewind_from_text(text, "m").motor.turns
    except FileFaults as found:
        told = found.faults
    assert turns > 0 or told
    assert all("must" in fault.message for fault in told)
