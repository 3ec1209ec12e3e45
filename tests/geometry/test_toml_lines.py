"""The line finder: where a key stands in a TOML text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.files.faults import key_lines, line_of

SAMPLE = """\
# a comment with = and [brackets]
title = "a # is no comment, [nor] = this"

[space]  # the space
outer_diameter_mm = 110
"quoted key" = 3
'literal.key' = 4
inner.bore_mm = 30

[[magnets]]
diameter_mm = 15
[[magnets]]
note = \"\"\"
[space]
diameter_mm = 1
\"\"\"
diameter_mm = 20
[magnets.grade]
name = 'N42'

[wire]
diameters_mm = [
    0.2,  # thin
    0.25, 0.315,
    [1, 2],
]
stock = [{ length_m = 60, spool = { mass_g = 5 } },
         { length_m = 70 }]
last = 2026-01-01 10:00:00
[ wire . "far" ]
end = true
"""


@pytest.mark.parametrize(
    ("dotted", "line"),
    [
        ("title", 2),
        ("space", 4),
        ("space.outer_diameter_mm", 5),
        ("space.quoted key", 6),
        ("space.inner", 8),
        ("space.inner.bore_mm", 8),
        ("magnets", 10),
        ("magnets.0", 10),
        ("magnets.0.diameter_mm", 11),
        ("magnets.1", 12),
        ("magnets.1.diameter_mm", 17),
        ("magnets.1.grade", 18),
        ("magnets.1.grade.name", 19),
        ("wire.diameters_mm", 22),
        ("wire.diameters_mm.0", 23),
        ("wire.diameters_mm.1", 24),
        ("wire.diameters_mm.2", 24),
        ("wire.diameters_mm.3.1", 25),
        ("wire.stock.0.length_m", 27),
        ("wire.stock.0.spool.mass_g", 27),
        ("wire.stock.1.length_m", 28),
        ("wire.last", 29),
        ("wire.far.end", 31),
        ("magnets.1.missing", 12),
        ("wire.missing.too", 21),
        ("nowhere", 1),
    ],
)
def test_line_of_key(dotted: str, line: int) -> None:
    assert line_of(SAMPLE, dotted) == line
    assert line_of(SAMPLE.replace("\n", "\r\n"), dotted) == line


def test_line_of_a_key_with_a_dot_in_it() -> None:
    assert key_lines(SAMPLE)["space", "literal.key"] == 7
    assert key_lines('"a\\u0062\\n" = 1') == {("ab\n",): 1}


@given(st.text(alphabet="[]{}=.,#\"'\\\n \tab1") | st.text())
def test_line_finder_ends_on_anything(written: str) -> None:
    assert all(1 <= line <= written.count("\n") + 1 for line in key_lines(written).values())


def test_line_finder_survives_deep_nesting() -> None:
    assert key_lines("a = 1\nb = " + "[" * 100_000)["b",] == 2
