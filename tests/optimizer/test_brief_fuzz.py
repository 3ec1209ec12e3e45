"""Whatever is in the file, reading a brief ends in a brief or in faults, never in anything else."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tiers import examples

from geometry.files.reading import Fault, FileFaults
from optimizer.brief.brief import brief_from_text, brief_text, read_brief

TEXT = (Path(__file__).parents[2] / "studies" / "lantern" / "brief.toml").read_text(encoding="utf-8")


def faults_in(written: str) -> tuple[Fault, ...]:
    """The faults of a text, none for a brief; anything else raised fails the test."""
    try:
        brief = brief_from_text(written, "brief.toml")
    except FileFaults as found:
        return found.faults
    assert brief_from_text(brief_text(brief), "again") == brief
    return ()


def check(written: str) -> None:
    """Reading gives a brief that can be written again, or faults in plain words on lines that are there."""
    for fault in faults_in(written):
        assert fault.line is None or 1 <= fault.line <= written.count("\n") + 1
        message = fault.message
        assert message.startswith(("must ", "unknown key", "and ")) or message.endswith(" must be given, was missing")
        assert "\n" not in str(fault)


@settings(max_examples=examples(200), deadline=None)
@given(st.text() | st.text(alphabet="[]{}=.,#\"'\\\n \tabe-+0:_", max_size=60))
def test_fuzz_with_any_text(written: str) -> None:
    check(written)


@settings(max_examples=examples(100), deadline=None)
@given(data=st.binary())
def test_fuzz_with_any_bytes(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "fuzz.toml"
    path.write_bytes(data)
    with pytest.raises(FileFaults):
        read_brief(path)


VALUES = st.sampled_from(
    ["nan", "-inf", "0", "-1", "1e400", "1e-400", "-0.0", "true", '""', "[]", "{}", "[[1]]", "{a=1}",
     "1979-05-27", "07:32:00", "0x7fffffffffffffffff", "[0.2, nan, nan]", "[true, 1]", '"disc"', "[{}, {}]",
     "9" * 400, "1e999999999999"]
)  # fmt: skip


@settings(max_examples=examples(300), deadline=None)
@given(st.integers(0, 40), VALUES, st.integers(0, 40), VALUES)
def test_fuzz_with_other_values(first: int, value: str, second: int, other: str) -> None:
    lines = TEXT.splitlines()
    for number, new in ((first, value), (second, other)):
        index = number % len(lines)
        if " = " in lines[index]:
            lines[index] = f"{lines[index].split(' = ')[0]} = {new}"
    check("\n".join(lines))


@settings(max_examples=examples(300), deadline=None)
@given(
    st.integers(0, len(TEXT)),
    st.integers(0, 30),
    st.text(max_size=5) | st.sampled_from(["\n[wire]", "=", ".", "[[", '"']),
)
def test_fuzz_with_mutilated_text(start: int, cut: int, inserted: str) -> None:
    check(TEXT[:start] + inserted + TEXT[start + cut :])
