"""Which line of a TOML text a key stands on, so that a fault can point at it.

The scanner trusts the text: it has been parsed before. On anything else it still ends, and finds what it can.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Mapping
from contextlib import suppress
from typing import TypeAlias

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
            self._list(path)
        elif self._next("{"):
            self._inline_table(path)
        elif self._next('"') or self._next("'"):
            self._skip(_STRING)
        else:
            self._skip(_PLAIN)

    def _list(self, path: KeyPath) -> None:
        index = 0
        self.at += 1
        self._skip(_BLANK)
        while self.at < len(self.text) and not self._next("]"):
            before = self.at
            self._found((*path, index), before)
            self._value((*path, index))
            self._skip(_BLANK)
            self.at += self.at == before
            index += 1
        self.at += 1

    def _inline_table(self, path: KeyPath) -> None:
        self.at += 1
        self._skip(_BLANK)
        while self.at < len(self.text) and not self._next("}"):
            before = self.at
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
