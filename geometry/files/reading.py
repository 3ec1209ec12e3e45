"""Reading a TOML file into a typed table, with every fault at once: where, what it must be, what it was."""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any, NoReturn, TypeVar

from geometry.files.faults import faults_in_words, key_lines, key_text, nearest_line, top_keys
from geometry.files.key_tables import Table, ValidationError

LARGEST = 1_000_000  # bytes
T = TypeVar("T", bound=Table)
V = TypeVar("V")

# a dotted key of more than twenty parts: the parser's time and memory grow with the square of their number
_LONG_KEY = re.compile(r"""(?<![\w-])(?:(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){20}""")

# what the parser says, and what to say instead
_SYNTAX = {
    "Cannot overwrite a value": "this key is given twice",
    "Cannot declare": "this table is given twice",
    "Cannot mutate immutable": "this table is given twice",
    "Invalid value": "the value must be a number, a text in quotes, true, false or a list in brackets",
    "Expected newline or end of document": "nothing may follow the value on its line (decimals take a point)",
    "Expected '=' after a key": "an equals sign must follow the key",
    "Invalid statement": "a line must be a [table], a key = value or a # comment",
    "Illegal character '\\n'": "a text must end with its quote on the same line",
    "Unterminated string": "a text must end with its quote",
    "Unclosed array": "a list must end with ]",
    "Unclosed inline table": "a table in braces must end with }",
    "Expected ']": "a table's name must end with ]",
}


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with a file. line: from 1, None for the whole file; key: empty when none is meant."""

    path: str
    line: int | None
    key: str
    message: str

    def __str__(self) -> str:
        place = self.path if self.line is None else f"{self.path}:{self.line}"
        return ": ".join(part for part in (place, self.key, self.message) if part)


class FileFaults(Exception):  # noqa: N818 - the faults of a file are not one error
    """A file that cannot be used. faults: all that is wrong with it, in the order of the file's lines."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__(faults)
        self.faults = faults

    def __str__(self) -> str:
        return "\n".join(map(str, self.faults))


def read_text(path: str | os.PathLike[str]) -> str:
    """The text of a file of at most 1 MB in UTF-8. Raises FileFaults when there is no such thing."""
    name = os.fspath(path)
    try:
        with open(name, "rb") as file:
            data = file.read(LARGEST + 1)
    except FileNotFoundError:
        _refuse(name, "must be a TOML file, was not found")
    except IsADirectoryError:
        _refuse(name, "must be a TOML file, was a directory")
    except PermissionError:
        _refuse(name, "must be a file that may be read, was closed to you by its permissions")
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        _refuse(name, f"must be a file that can be read, was not ({reason})")
    return _decoded(data, name)


def table_from_text(text: str, name: str, table: type[T]) -> T:
    """The typed table that `text` holds; `name` stands for the file in messages. Raises FileFaults."""
    text = text.removeprefix("\ufeff")
    data = _parsed(text, name)
    if not data:
        _refuse(name, "must be a TOML file with tables and keys, was empty")
    try:
        return table.model_validate(data)
    except ValidationError as error:
        due, was = kind_of_file(keys := top_keys(table)), kind_of_file(data)
        shared = table.model_config.get("extra") == "ignore" and not data.keys().isdisjoint(keys)
        if due and was and due != was and not shared:
            _refuse(name, f"must be {due}, was {was}")
        lines = key_lines(text)
        faults = [
            Fault(name, nearest_line(lines, path) if path else None, key_text(path), message)
            for path, message in faults_in_words(error, table)
        ]
    raise FileFaults(tuple(sorted(faults, key=lambda fault: fault.line or LARGEST)))


def read_back(written: str, what: str, read: Callable[[str, str], V]) -> V:
    """What `read` makes of a text just written. Raises ValueError when it refuses: the `what` is beyond the limits."""
    try:
        return read(written, what)
    except FileFaults as faults:
        raise ValueError(f"this {what} cannot be written to a file:\n{faults}") from faults


def _decoded(data: bytes, name: str) -> str:
    if len(data) > LARGEST:
        _refuse(name, "must be a TOML file of at most 1 MB, was larger")
    if b"\0" in data:
        _refuse(name, "must be a text file in UTF-8, was binary")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        _refuse(name, f"must be a text file in UTF-8, was not (byte {data[error.start]:#04x})", line)


def _parsed(text: str, name: str) -> dict[str, Any]:
    if found := _LONG_KEY.search(text):
        line = text.count("\n", 0, found.start()) + 1
        _refuse(name, "must hold keys of at most twenty parts, was a longer one", line)
    try:
        text.encode()
        return tomllib.loads(text, parse_float=_decimal)
    except UnicodeEncodeError:
        _refuse(name, "must be a text in UTF-8, was not")
    except RecursionError:
        _refuse(name, "must be a TOML file, was nested too deeply")
    except ValueError as error:
        _refuse(name, *_syntax_fault(str(error), text))


def _decimal(written: str) -> Decimal:
    try:
        return Decimal(written)
    except InvalidOperation:  # an exponent of twenty digits
        return Decimal("inf")


def _syntax_fault(said: str, text: str) -> tuple[str, int | None]:
    place = re.search(r" \(at (?:line (\d+), column (\d+)|end of document)\)$", said)
    if place is None:
        return "must be valid TOML, was not: a number is too long", None
    bare = said[: place.start()]
    ours = [words for start, words in _SYNTAX.items() if bare.startswith(start)]
    words = ours[0] if ours else bare[:1].lower() + bare[1:]
    if place[1] is None:
        return f"must be valid TOML: {words} (end of file)", text.rstrip().count("\n") + 1
    return f"must be valid TOML: {words} (column {place[2]})", int(place[1])


def _refuse(name: str, message: str, line: int | None = None) -> NoReturn:
    raise FileFaults((Fault(name, line, "", message),)) from None


_MARKS = (
    ("a layout", {"carrier", "winding"}),
    ("a brief", {"magnets", "wire"}),
    ("a rig", {"mechanism", "mover"}),
    ("a motor", {"motor"}),
)
_ALONE = {"load": "a load", "prices": "a list of prices"}  # files that hold this table and no other


def kind_of_file(keys: Iterable[str]) -> str | None:
    """The kind of file with these keys at its top, with its article; None when they do not tell."""
    names = set(keys) - {"title"}
    kind = next((kind for kind, marks in _MARKS if marks <= names), None)
    return kind or (_ALONE.get(*names) if len(names) == 1 else None)
