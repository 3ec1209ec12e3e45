"""From what a request says to layouts and briefs, and from files to what a request says: flat values.

A layout or a brief as text by dotted key fits an address, a form and a request alike: `carrier.count` → "16",
`magnets.1.diameter_mm` → "15", `wire.diameters_mm` → "0.2, 0.25". Numbers stay as written: nothing is lost on the way.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from decimal import Decimal
from typing import Any, TypeAlias

from geometry.files.reading import Fault, FileFaults
from geometry.files.values import is_list, is_table, number_text
from geometry.files.writing import toml_text
from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_from_text, layout_text
from optimizer.answers.refusal import Refused
from optimizer.brief.brief import Brief, brief_from_text, brief_text
from optimizer.loads.load_file import load_from_text
from optimizer.motors.motor_file import rewind_from_text
from optimizer.rigs.rig_file import rig_from_text


def refused_file(faults: FileFaults) -> Refused:
    """The faults of a file as the page shows them: with the keys of flat values."""
    return Refused([(fault.key.replace("[", ".").replace("]", ""), fault.message) for fault in faults.faults])


Flat: TypeAlias = Mapping[str, str]

MOST_KEYS, LONGEST_VALUE = 400, 400
LISTS = frozenset({
    "wire.diameters_mm", "wire.awg", "wire.strands", "coil.topologies", "coil.phases", "printer.bed_mm",
    "rewind.wires_mm", "rewind.wires_awg",
})  # fmt: skip
TEXTS = frozenset({"title", "currency"})  # free text, which may look like a number
KEY = re.compile(r"[a-z][A-Za-z0-9_]{0,40}(\.([1-9][0-9]{0,2}|[a-z][A-Za-z0-9_]{0,40})){0,3}")
NUMBER = re.compile(r"[+-]?\d{1,40}(\.\d{1,40})?([eE][+-]?\d{1,3})?")


def flat_of_text(text: str) -> dict[str, str]:
    """The flat values of a TOML text that has been read without fault."""
    return dict(_flattened(tomllib.loads(text.removeprefix("\ufeff"), parse_float=Decimal), ""))


def _flattened(table: Mapping[str, Any], before: str) -> list[tuple[str, str]]:
    pairs: list[tuple[str, str]] = []
    for key, value in table.items():
        if is_table(value):
            pairs += _flattened(value, f"{before}{key}.")
        elif tables := _tables_in(value):
            for index, entry in enumerate(tables, 1):
                pairs += _flattened(entry, f"{before}{key}.{index}.")
        else:
            pairs.append((before + key, _written(value)))
    return pairs


def _written(value: Any) -> str:
    if is_list(value):
        return ", ".join(map(_written, value))
    if isinstance(value, Decimal):
        return number_text(value)
    return str(value)


def text_of_flat(flat: Flat, name: str) -> str:
    """The TOML text of flat values; keys left empty are left out. Raises FileFaults, `name` standing for the file."""
    faults = [
        Fault(name, None, key[:60], words) for key, value in flat.items() if (words := _fault(key, value))
    ]
    if len(flat) > MOST_KEYS:
        faults = [Fault(name, None, "", f"must have at most {MOST_KEYS} keys, was {len(flat)}")]
    if faults:
        raise FileFaults(tuple(faults))
    plain: list[str] = []
    entries: dict[tuple[str, int], list[str]] = {}
    for key, value in flat.items():
        if value.strip():
            head, *rest = key.split(".")
            if rest and rest[0].isdigit():
                line = f"{'.'.join(rest[1:]) or 'value'} = {_toml(key, value)}"
                entries.setdefault((head, int(rest[0])), []).append(line)
            else:
                plain.append(f"{key} = {_toml(key, value)}")
    tables = [line for (head, _), lines in sorted(entries.items()) for line in (f"[[{head}]]", *lines)]
    return "\n".join([*plain, *tables]) + "\n"


def file_of_flat(flat: Flat, name: str, heading: str) -> str:
    """A file for people with the flat values' tables, one under another; reads back as `text_of_flat` does."""
    content: dict[str, Any] = tomllib.loads(text_of_flat(flat, name), parse_float=Decimal)
    top = [(key, value, "") for key, value in content.items() if not _tables_in(value)]
    tables = [
        (f"[[{key}]]" if isinstance(value, list) else f"[{key}]", [(k, v, "") for k, v in table.items()])
        for key, value in content.items()
        for table in _tables_in(value)
    ]
    return toml_text(heading, top, tables)


def _tables_in(value: Any) -> list[dict[str, Any]]:
    """The tables under one key: one, several of a list, or none where a plain value stands."""
    entries = value if is_list(value) else [value]
    return [entry for entry in entries if is_table(entry)]


def _fault(key: str, value: str) -> str:
    if not KEY.fullmatch(key):
        return "must be a key of the file, was not"
    if len(value) > LONGEST_VALUE:
        return f"must be at most {LONGEST_VALUE} characters long, was {len(value)}"
    return "" if value.isprintable() else "must be one line of text, was not"


def _toml(key: str, value: str) -> str:
    value = value.strip()
    if key in LISTS:
        return "[" + ", ".join(_scalar(part.strip()) for part in value.split(",")) + "]"
    return _quoted(value) if key.rsplit(".", 1)[-1] in TEXTS else _scalar(value)


def _scalar(value: str) -> str:
    """A number without needless zeros before it, which TOML forbids; anything else as text."""
    return re.sub(r"^([+-]?)0+(?=\d)", r"\1", value) if NUMBER.fullmatch(value) else _quoted(value)


def _quoted(value: str) -> str:
    return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'


LAYOUT_TABLES = frozenset({"carrier", "operation"})


def layout_of(design: Flat) -> Layout:
    """The layout that flat values state. Raises `Refused` with every fault."""
    try:
        return layout_from_text(text_of_flat(design, "design"), "design")
    except FileFaults as faults:
        raise refused_file(faults) from faults


def brief_of(wanted: Flat) -> Brief:
    """The brief that flat values state. Raises `Refused` with every fault."""
    try:
        return brief_from_text(text_of_flat(wanted, "brief"), "brief")
    except FileFaults as faults:
        raise refused_file(faults) from faults


def flat_layout(layout: Layout) -> dict[str, str]:
    """A layout as flat values, as its file would state them."""
    return flat_of_text(layout_text(layout))


def flat_brief(brief: Brief) -> dict[str, str]:
    """A brief as flat values, as its file would state them."""
    return flat_of_text(brief_text(brief))


def read(text: str) -> dict[str, Any]:
    """What the text of a file holds, by name: a design, a brief, a motor, a rig or a load.

    Raises `Refused` with every fault.
    """
    try:
        held = _tables(text)
        if held & LAYOUT_TABLES:
            return {"design": flat_layout(layout_from_text(text, "file"))}
        if "motor" in held:
            rewind_from_text(text, "file")
            return {"motor": flat_of_text(text)}
        if "mechanism" in held:
            rig_from_text(text, "file")
            return {"rig": flat_of_text(text)}
        if held == {"load"}:
            load_from_text(text, "file")
            return {"load": {key.removeprefix("load."): value for key, value in flat_of_text(text).items()}}
        return {"brief": flat_brief(brief_from_text(text, "file"))}
    except FileFaults as faults:
        raise refused_file(faults) from faults
    except ValueError as error:
        raise Refused(str(error)) from error


def is_layout(text: str) -> bool:
    """Whether a TOML text has the tables of a layout."""
    return bool(_tables(text) & LAYOUT_TABLES)


def _tables(text: str) -> set[str]:
    try:
        return set(tomllib.loads(text.removeprefix("\ufeff")))
    except (ValueError, RecursionError):
        return set()
