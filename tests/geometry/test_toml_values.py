"""Numbers in files: millimetres outside are metres inside, to the bit."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.files.values import decimal_of, float_of, number_text, shown


@given(st.floats(min_value=1e-300, max_value=1e300))
def test_metres_survive_being_written_in_millimetres(length: float) -> None:
    written = number_text(decimal_of(length, milli=True))
    assert float_of(Decimal(written), milli=True) == length
    assert len(_digits(written)) <= len(_digits(repr(length)))


def _digits(written: str) -> str:
    return written.split("e", maxsplit=1)[0].replace(".", "").strip("0")


@pytest.mark.parametrize(
    ("metres", "written"),
    [(0.000315, "0.315"), (0.11, "110"), (0.0015, "1.5"), (0.1 + 0.2, "300.00000000000004"), (1e13, "1e+16")],
)  # fmt: skip
def test_millimetres_are_written_short(metres: float, written: str) -> None:
    assert number_text(decimal_of(metres, milli=True)) == written


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (Decimal("1e999999999999"), "1e+999999999999"),
        (Decimal("-Infinity"), "-inf"),
        (10**400, "a number of more than 300 digits"),
        (True, "true"),
        ("x\n\x07", r'"x\n\x07"'),
        ("y" * 50, '"' + "y" * 39 + '…"'),
        ([], "a list"),
    ],
)
def test_values_are_repeated_short_and_on_one_line(value: object, written: str) -> None:
    assert shown(value) == written
