"""What is wrong with a table, key by key, in words for the person who wrote the file."""

from __future__ import annotations

import re
from collections.abc import Iterator
from difflib import get_close_matches
from typing import Any, get_args

from geometry.files.key_tables import Table, ValidationError
from geometry.files.lines import KeyPath
from geometry.files.values import quoted, shown

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
