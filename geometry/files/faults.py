"""What is wrong with a table, key by key, in words for the person who wrote the file, and on which line a key stands.

The scanner of lines trusts the text: it has been parsed before. On anything else it still ends, and finds what it can.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import Any, TypeAlias, get_args

from geometry.files.key_tables import Table, ValidationError
from geometry.files.values import quoted, shown

KeyPath: TypeAlias = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n,]|#[^\n]*)*")
_SPACES = re.compile(r"[ \t]*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BASIC = re.compile(r'"(?:[^"\\\n]|\\.)*"?')
_LITERAL = re.compile(r"'[^'\n]*'?")
_LONG_BASIC = r'"""(?:[^\\]|\\.)*?(?:"""+|\Z)'
_LONG_LITERAL = r"'''.*?(?:'''+|\Z)"
_STRING = re.compile(f"{_LONG_BASIC}|{_LONG_LITERAL}|{_BASIC.pattern}|{_LITERAL.pattern}", re.DOTALL)
_REST = re.compile(r"[^\n#]*")
_PLAIN = re.compile(r"[^,\]}#\n]*")
_ESCAPE = re.compile(r'\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|([btnfr"\\]))')
_ESCAPED = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", '"': '"', "\\": "\\"}


def key_lines(text: str) -> dict[KeyPath, int]:
    """The 1-based line of every key, table and list entry (counted from 0) of `text`, by its path."""
    scanner = _Scanner(text)
    with suppress(RecursionError):  # nested past reason: the keys found so far will do
        scanner.scan()
    return scanner.lines


def nearest_line(lines: Mapping[KeyPath, int], path: KeyPath) -> int:
    """The line of `path`, else of the innermost table around it that is there, else 1."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return 1


def line_of(text: str, key: str) -> int:
    """The 1-based line of a dotted key such as ``magnets.0.diameter_mm``; see `nearest_line`."""
    path = tuple(int(part) if part.isdecimal() else part for part in key.split("."))
    return nearest_line(key_lines(text), path)


class _Scanner:
    """One pass over a text; `lines` is what it has found."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at: int = 0
        self.lines: dict[KeyPath, int] = {}
        self._newlines = [found.start() for found in re.finditer("\n", text)]
        self._entries: dict[KeyPath, int] = {}

    def scan(self) -> None:
        table: KeyPath = ()
        self._skip(_BLANK)
        while self.at < len(self.text):
            before = self.at
            if self._next("["):
                table = self._header()
            else:
                self._pair(table)
            self._skip(_BLANK)
            if self.at == before:
                self.at += 1

    def _header(self) -> KeyPath:
        start = self.at
        self.at += 1
        many = self._next("[")
        self.at += many
        path: KeyPath = ()
        keys = self._dotted_key()
        for position, key in enumerate(keys):
            path = (*path, key)
            self._found(path, start)
            if many and position == len(keys) - 1:
                self._entries[path] = self._entries.get(path, -1) + 1
            if path in self._entries:
                path = (*path, self._entries[path])
                self._found(path, start)
        self._skip(_REST)
        return path

    def _pair(self, table: KeyPath) -> None:
        start = self.at
        path = table
        for key in self._dotted_key():
            path = (*path, key)
            self._found(path, start)
        self._skip(_SPACES)
        if self._next("="):
            self.at += 1
            self._skip(_SPACES)
            self._value(path)

    def _value(self, path: KeyPath) -> None:
        if self._next("["):
            self._inside(path, "]")
        elif self._next("{"):
            self._inside(path, "}")
        elif self._next('"') or self._next("'"):
            self._skip(_STRING)
        else:
            self._skip(_PLAIN)

    def _inside(self, path: KeyPath, end: str) -> None:
        """The entries of a list, or the pairs of an inline table."""
        index = 0
        self.at += 1
        self._skip(_BLANK)
        while self.at < len(self.text) and not self._next(end):
            before = self.at
            if end == "]":
                self._found((*path, index), before)
                self._value((*path, index))
                index += 1
            else:
                self._pair(path)
            self._skip(_BLANK)
            self.at += self.at == before
        self.at += 1

    def _dotted_key(self) -> list[str]:
        keys: list[str] = []
        while True:
            self._skip(_SPACES)
            keys.append(self._simple_key())
            self._skip(_SPACES)
            if not self._next("."):
                return keys
            self.at += 1

    def _simple_key(self) -> str:
        if self._next('"'):
            return _ESCAPE.sub(_unescape, self._skip(_BASIC)[1:-1])
        if self._next("'"):
            return self._skip(_LITERAL)[1:-1]
        return self._skip(_BARE_KEY)

    def _next(self, mark: str) -> bool:
        return self.text.startswith(mark, self.at)

    def _skip(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self.text, self.at)
        if found is None:
            return ""
        self.at = found.end()
        return found[0]

    def _found(self, path: KeyPath, start: int) -> None:
        self.lines.setdefault(path, bisect_right(self._newlines, start - 1) + 1)


def _unescape(found: re.Match[str]) -> str:
    code = found[1] or found[2]
    if code is None:
        return _ESCAPED[found[3]]
    return chr(int(code, 16)) if int(code, 16) <= 0x10FFFF else "?"


MOST = 100  # faults told one by one


def faults_in_words(error: ValidationError, table: type[Table]) -> list[tuple[KeyPath, str]]:
    """Path and message of every fault; a key that is only misspelt is not called missing as well."""
    found: list[Any] = [
        {**e, "loc": _as_written(e["loc"], table)} if e["type"] == "missing" else e
        for e in error.errors(include_url=False)
    ]
    unknown = [e["loc"] for e in found if e["type"] == "extra_forbidden"][:MOST]
    meant = {(*loc[:-1], _near(loc[-1], _table_at(table, loc[:-1]))) for loc in unknown}
    kept = [e for e in found if not (e["type"] == "missing" and e["loc"] in meant)]
    told = [_told(e, table) for e in kept[:MOST]]
    rest = len(kept) - MOST
    return [*told, ((), f"and {rest} more faults like these")] if rest > 0 else told


def top_keys(table: type[Table]) -> list[str]:
    """The keys that a file of this table may have at its top."""
    return list(_keys(table))


def key_text(path: KeyPath) -> str:
    """A path as people write it, list entries counted from 1: ``magnets[1].diameter_mm``."""
    written = ""
    for part in path:
        if isinstance(part, int):
            written += f"[{part + 1}]"
        else:
            name = part if re.fullmatch(r"[A-Za-z0-9_-]{1,60}", part) else quoted(part)
            written += f".{name}" if written else name
    return written


def _as_written(path: KeyPath, table: type[Table]) -> KeyPath:
    """The path with the key's own name at its end: a default that is called missing comes with its field's."""
    fields = _table_at(table, path[:-1]).model_fields if path else {}
    field = fields.get(str(path[-1])) if path else None
    return (*path[:-1], field.alias or str(path[-1])) if field else path


def _told(error: Any, table: type[Table]) -> tuple[KeyPath, str]:
    path: KeyPath = error["loc"]
    match error["type"]:
        case "refused":
            return path, error["msg"]
        case "refused_table":
            return path[:-1], error["msg"]
        case "missing":
            return path, _missing(path, _table_at(table, path[:-1]))
        case "extra_forbidden":
            return path, _unknown(path, table)
        case _:
            return path, f"must be a table, was {shown(error['input'])}"


def _missing(path: KeyPath, around: type[Table]) -> str:
    inside = _keys(around)[str(path[-1])]
    if inside is None:
        return "must be given, was missing"
    many = "list" in str(around.model_fields[_field_name(around, str(path[-1]))].annotation)
    header = f"[[{key_text(path)}]]" if many else f"[{key_text(path)}]"
    needed = [
        name
        for name in _keys(inside)
        if name in inside.USUAL or inside.model_fields[_field_name(inside, name)].is_required()
    ]
    holding = f" with {_joined(needed)}" if needed else ""
    return f"must be given as a table {header}{holding}, was missing"


def _joined(names: list[str]) -> str:
    """Names in a row: "a, b and c"."""
    return " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)


def _unknown(path: KeyPath, table: type[Table]) -> str:
    around = _table_at(table, path[:-1])
    if near := _near(path[-1], around):
        return f"unknown key; did you mean {near}?"
    homes = [home for home, inside in _tables(table) if path[-1] in _keys(inside)]
    if homes:
        return f"unknown key here; it belongs in {homes[0]}"
    return f"unknown key; known here: {', '.join(_keys(around))}"


def _near(name: str | int, around: type[Table]) -> str | None:
    from difflib import get_close_matches  # for faulty files alone

    return next(iter(get_close_matches(str(name)[:60], _keys(around), n=1)), None)


def _tables(table: type[Table], prefix: str = "") -> Iterator[tuple[str, type[Table]]]:
    yield (f"[{prefix}]" if prefix else "the top of the file, above every table"), table
    for name, inside in _keys(table).items():
        if inside is not None:
            yield from _tables(inside, f"{prefix}.{name}" if prefix else name)


def _table_at(table: type[Table], path: KeyPath) -> type[Table]:
    for part in path:
        inside = _keys(table).get(part) if isinstance(part, str) else None
        table = inside or table
    return table


def _keys(table: type[Table]) -> dict[str, type[Table] | None]:
    return {field.alias or name: _inside(field.annotation) for name, field in table.model_fields.items()}


def _field_name(table: type[Table], alias: str) -> str:
    return next(name for name, field in table.model_fields.items() if alias in (field.alias, name))


def _inside(annotation: Any) -> type[Table] | None:
    if isinstance(annotation, type) and not get_args(annotation):
        return annotation if issubclass(annotation, Table) else None
    return next((found for arg in get_args(annotation) if (found := _inside(arg))), None)
