"""Writing a TOML text with comments, laid out for people. Reading files does without the library that writes them."""

# pyright: reportUnknownMemberType=false
# tomlkit's containers are lists and dicts of unknown values

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any, TypeAlias

from geometry.files.values import decimal_of, is_list, is_table, number_text

Value: TypeAlias = str | int | Decimal | Sequence[str] | Sequence[Decimal]
Row: TypeAlias = tuple[str, Value | None, str]  # key, value (None: leave it out), comment


def length_row(name: str, length: float | None, comment: str = "") -> Row:
    """A length in m, written in millimetres; none is left out."""
    return name, None if length is None else decimal_of(length, milli=True), comment


def toml_text(heading: str, top: Sequence[Row], tables: Sequence[tuple[str, Sequence[Row]]]) -> str:
    """A TOML text: a heading comment, keys of no table, then tables by header, ``[a.b]`` or ``[[c]]``."""
    import tomlkit

    document = tomlkit.document()
    document.add(tomlkit.comment(heading))
    _fill(document, top)
    for header, rows in tables:
        table = _fill(tomlkit.table(), rows)
        *outer, name = header.strip("[]").split(".")
        place: Any = document
        for part in outer:
            place = place[part]
        if not header.startswith("[["):
            place.add(name, table)
        elif name in place:
            place[name].append(table)
        else:
            many = tomlkit.aot()
            many.append(table)
            place.add(name, many)
    return tomlkit.dumps(document)


def _fill(container: Any, rows: Sequence[Row]) -> Any:
    items = [(key, _item(value), comment) for key, value, comment in rows if value is not None]
    widest = max((len(key) + len(item.as_string()) for key, item, _ in items), default=0)
    for key, item, comment in items:
        if comment:
            item.comment(comment)
            item.trivia.comment_ws = " " * (2 + min(widest, 40) - min(len(key) + len(item.as_string()), 40))
        container.add(key, item)
    return container


def _item(value: Value) -> Any:
    import tomlkit
    from tomlkit.items import Float, Trivia

    if isinstance(value, Decimal):
        return Float(float(value), Trivia(), number_text(value))
    if isinstance(value, str | int):
        return tomlkit.item(value)
    entries = tomlkit.array()
    for entry in value:
        entries.append(_item(entry))
    return entries


def with_value(text: str, path: Sequence[str | int], value: Value) -> str:
    """A TOML text with the key at `path` (list entries counted from 0) set to `value`; the rest stays as it is.

    Tables on the way that are missing are added. A list takes a single value as its only entry. Raises LookupError
    for an entry that a list does not have, and for a way through what is no table.
    """
    import tomlkit

    document = tomlkit.parse(text)
    *way, last = path
    place: Any = document
    for part in way:
        if isinstance(part, str) and is_table(place) and part not in place:
            place[part] = tomlkit.table()
        place = _inside(place, part)
    if not is_table(place) or not isinstance(last, str):
        raise LookupError(last)
    listed: Any = (
        [value] if is_list(place.get(last)) and isinstance(value, str | int | Decimal) else value
    )
    place[last] = _item(listed)
    return tomlkit.dumps(document)


def _inside(place: Any, part: str | int) -> Any:
    if isinstance(part, int) and is_list(place):
        return place[part]
    if isinstance(part, str) and is_table(place):
        return place[part]
    raise LookupError(part)
