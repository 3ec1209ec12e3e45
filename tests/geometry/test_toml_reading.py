"""The file reader: files that are none, syntax, and every kind of fault in words."""



from __future__ import annotations

import os
from pathlib import Path
from typing import Annotated

import pytest

from geometry.files.key_tables import Table, key, listed, quantity, text, whole
from geometry.files.reading import Fault, FileFaults, read_text, table_from_text


class Part(Table):
    size: Annotated[float, quantity(minimum="0.5", maximum="100", milli=True)] = key("size_mm")
    count: Annotated[int, whole(minimum=2, maximum=50, even=True)] = key("count", 4)


class Whole(Table):
    name: Annotated[str, text()] = key("name", "none")
    share: Annotated[float, quantity(positive=True, maximum="0.9")] = key("share", 0.5)
    part: Part = key("part")
    others: Annotated[list[Part], listed("[[others]] tables")] = key("others", [{"size_mm": 1}])
    marks: Annotated[list[Annotated[int, whole(minimum=0, maximum=9)]], listed("marks")] = key("marks", [1])


def faults(written: str) -> list[str]:
    with pytest.raises(FileFaults) as caught:
        table_from_text(written, "file.toml", Whole)
    return str(caught.value).splitlines()


def test_a_good_file_comes_out_in_si() -> None:
    table = table_from_text("share = 0.25\n[part]\nsize_mm = 12\ncount = 6.0\n", "file.toml", Whole)
    assert (table.share, table.part.size, table.part.count, table.others[0].size) == (0.25, 0.012, 6, 0.001)


def test_a_byte_order_mark_is_no_fault() -> None:
    assert table_from_text("\ufeff[part]\r\nsize_mm = 1\r\n", "f", Whole).part.size == 0.001


@pytest.mark.parametrize(
    ("value", "message"),
    [
        ("-3", "must be at least 0.5, was -3"),
        ("0.012", "must be at least 0.5 (are the units millimetres?), was 0.012"),
        ("20000", "must be at most 100 (are the units millimetres?), was 20000"),
        ("1e400", "must be at most 100 (are the units millimetres?), was 1e+400"),
        ("1_000.50", "must be at most 100 (are the units millimetres?), was 1000.5"),
        ("nan", "must be a finite number, was nan"),
        ("-inf", "must be a finite number, was -inf"),
        ("1e99999999999999999999", "must be a finite number, was inf"),
        ("true", "must be a number, was true"),
        ('"12"', 'must be a number, was "12" (leave out the quotes)'),
        ("[1]", "must be a number, was a list"),
        ("{}", "must be a number, was a table"),
        ("1979-05-27", "must be a number, was a date or time"),
        (
            "0x" + "f" * 400,
            "must be a number that is not absurdly long, was a number of more than 300 digits",
        ),
    ],
)
def test_messages_for_a_length(value: str, message: str) -> None:
    assert faults(f"[part]\nsize_mm = {value}") == [f"file.toml:2: part.size_mm: {message}"]


@pytest.mark.parametrize(
    ("value", "message"),
    [
        ("7", "must be an even number of at least 2, was 7"),
        ("0", "must be an even number of at least 2, was 0"),
        ("4.5", "must be an even number of at least 2, was 4.5"),
        ("1e30", "must be at most 50, was 1e+30"),
        ('"4"', 'must be an even number of at least 2, was "4" (leave out the quotes)'),
        ("false", "must be an even number of at least 2, was false"),
    ],
)
def test_messages_for_a_count(value: str, message: str) -> None:
    assert faults(f"[part]\nsize_mm = 1\ncount = {value}") == [f"file.toml:3: part.count: {message}"]


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("share = 0\n[part]\nsize_mm = 1", "1: share: must be above 0, was 0"),
        ("share = 1e-400\n[part]\nsize_mm = 1", "1: share: must be above 0, was 1e-400"),
        ("name = 5\n[part]\nsize_mm = 1", "1: name: must be text in quotes, was 5"),
        (
            'name = "a\\nb"\n[part]\nsize_mm = 1',
            '1: name: must be one line of text without control characters, was "a\\nb"',
        ),
        (
            f'name = "{"x" * 300}"\n[part]\nsize_mm = 1',
            "1: name: must be at most 200 characters long, was 300 characters long",
        ),
        ("part = 3", "1: part: must be a table, was 3"),
        ("\nshare = 0.5", "1: part: must be given as a table [part] with size_mm, was missing"),
        ("share = 0.5\n[part]", "2: part.size_mm: must be given, was missing"),
        ("[part]\nsize_nm = 1", "2: part.size_nm: unknown key; did you mean size_mm?"),
        (
            "[part]\nsize_mm = 1\nshare = 0.5",
            "3: part.share: unknown key here; it belongs in the top of the file, above every table",
        ),
        ("[part]\nsize_mm = 1\nzzz = 1", "3: part.zzz: unknown key; known here: size_mm, count"),
        ('[part]\nsize_mm = 1\n"z\\n" = 1', '3: part."z\\n": unknown key; known here: size_mm, count'),
        ("marks = 3\n[part]\nsize_mm = 1", "1: marks: must be a list of marks, was 3"),
        ("marks = []\n[part]\nsize_mm = 1", "1: marks: must be a list of at least one of marks, was empty"),
        ("marks = [\n1,\n2,\n1]\n[part]\nsize_mm = 1", "4: marks[3]: must not repeat an earlier entry, was 1 again"),
        ("[part]\nsize_mm = 1\n[others]\nsize_mm = 2", "3: others: must be a list of [[others]] tables, was a table"),
    ],
)  # fmt: skip
def test_message_and_line(written: str, message: str) -> None:
    assert faults(written) == [f"file.toml:{message}"]


def test_all_faults_at_once_in_the_order_of_their_lines() -> None:
    written = "marks = [1, 1, 77]\n[[others]]\nsize_mm = 1\n[[others]]\nsize_mm = -1\ncount = 3\n[part]\nsice_mm = 1\n"
    assert faults(written) == [
        "file.toml:1: marks[2]: must not repeat an earlier entry, was 1 again",
        "file.toml:1: marks[3]: must be at most 9, was 77",
        "file.toml:5: others[2].size_mm: must be at least 0.5, was -1",
        "file.toml:6: others[2].count: must be an even number of at least 2, was 3",
        "file.toml:8: part.sice_mm: unknown key; did you mean size_mm?",
    ]


def test_thousands_of_faults_are_told_in_short() -> None:
    told = faults("[part]\nsize_mm = 1\n" + "".join(f"k{n} = 1\n" for n in range(5000)))
    assert len(told) == 101
    assert told[-1] == "file.toml: and 4900 more faults like these"


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("", ": must be a TOML file with tables and keys, was empty"),
        ("# nothing\n", ": must be a TOML file with tables and keys, was empty"),
        (
            "share = 0.5\nsize = 1,5\n",
            ":2: must be valid TOML: nothing may follow the value on its line (decimals take a point) (column 9)",
        ),
        ("share = 0.5\nshare = 1\nname = ''", ":2: must be valid TOML: this key is given twice (column 10)"),
        ("share = 0.5\nshare = 1\n\n", ":2: must be valid TOML: this key is given twice (column 10)"),
        ("share = 0.5\nshare = 1", ":2: must be valid TOML: this key is given twice (end of file)"),
        ("[part]\n[part]\n", ":2: must be valid TOML: this table is given twice (column 6)"),
        ("size_mm 5\n", ":1: must be valid TOML: an equals sign must follow the key (column 9)"),
        (
            'name = "a\n',
            ":1: must be valid TOML: a text must end with its quote on the same line (column 10)",
        ),
        ("a = " + "[" * 100_000, ": must be a TOML file, was nested too deeply"),
        ("a = " + "1" * 5000, ": must be valid TOML, was not: a number is too long"),
        (
            "x = 1\n" + "a." * 400_000 + "b = 1",
            ":2: must hold keys of at most twenty parts, was a longer one",
        ),
        ("[" + "'' . " * 150_000 + "b]", ":1: must hold keys of at most twenty parts, was a longer one"),
        ("a = '\ud800'", ": must be a text in UTF-8, was not"),
    ],
)
def test_what_is_no_toml(written: str, message: str) -> None:
    assert faults(written) == ["file.toml" + message]


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"\x00\x01\x02", ": must be a text file in UTF-8, was binary"),
        ("a = 1".encode("utf-16"), ": must be a text file in UTF-8, was binary"),
        ("a = 1\nb = '⌀ü'".encode() + b"\n\xfc", ":3: must be a text file in UTF-8, was not (byte 0xfc)"),
        (b"#" * 1_000_001, ": must be a TOML file of at most 1 MB, was larger"),
        (b"#" * 1_000_000, ": must be a TOML file with tables and keys, was empty"),
        (b"", ": must be a TOML file with tables and keys, was empty"),
    ],
)
def test_what_is_no_text(tmp_path: Path, data: bytes, message: str) -> None:
    path = tmp_path / "file.toml"
    path.write_bytes(data)
    with pytest.raises(FileFaults) as caught:
        table_from_text(read_text(path), str(path), Whole)
    assert str(caught.value) == f"{path}{message}"


def test_what_is_no_file(tmp_path: Path) -> None:
    def told(path: str | Path) -> str:
        with pytest.raises(FileFaults) as caught:
            table_from_text(read_text(path), str(path), Whole)
        return str(caught.value).removeprefix(str(path))

    assert told(tmp_path) == ": must be a TOML file, was a directory"
    assert told(tmp_path / "none.toml") == ": must be a TOML file, was not found"
    assert told("a\0b") == ": must be a file that can be read, was not (embedded null byte)"
    below = tmp_path / "file"
    below.write_text("x = 1")
    assert told(below / "deeper.toml") == ": must be a file that can be read, was not (Not a directory)"


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_what_may_not_be_read(tmp_path: Path) -> None:
    path = tmp_path / "closed.toml"
    path.write_text("[part]\nsize_mm = 1")
    path.chmod(0)
    with pytest.raises(
        FileFaults, match="must be a file that may be read, was closed to you by its permissions"
    ):
        table_from_text(read_text(path), str(path), Whole)


def test_a_fault_reads_as_one_line() -> None:
    assert str(Fault("a.toml", 7, "b.c", "must be 1, was 2")) == "a.toml:7: b.c: must be 1, was 2"
    assert str(Fault("a.toml", None, "", "must be 1, was 2")) == "a.toml: must be 1, was 2"
