"""The load file: a `[load]` table in TOML; the same table may stand in a brief or in a rig."""

from __future__ import annotations

import os
from dataclasses import MISSING
from decimal import Decimal
from typing import Annotated, Any

from geometry.files.key_tables import (
    Earlier,
    Table,
    choice,
    key,
    presence,
    quantity,
    refuse,
    refuse_table,
    rule,
    with_keys,
)
from geometry.files.reading import read_text, table_from_text
from geometry.files.schema import FileKey, file_keys, keyed_rows
from geometry.files.values import decimal_of, shown
from geometry.files.writing import Row, toml_text
from optimizer.circuit.diodes import DIODES, Diode, Drop
from optimizer.circuit.loads import KINDS, Load, kind_of
from optimizer.circuit.loads.load import BridgeLoad

HEADING = "A load: what the winding feeds. Volts, ohms, watts; capacitance in microfarads."
USUAL_DIODE = "silicon"
_DIODE = {
    "diode": (
        choice(DIODES),
        key(
            "diode",
            None,
            meaning='kind of each diode: `"silicon"` and `"schottky"` follow their law, `"ideal"` drops nothing',
            label="Diodes",
            usual='`"silicon"`',
            example="schottky",
        ),
    ),
    "drop_V": (
        quantity(minimum="0", maximum="5"),
        key("drop_V", None, meaning="constant drop of each, in place of `diode`", label="Drop of a diode"),
    ),
}
_KEYS = {own.name: own for kind in KINDS.values() for own in file_keys(kind).values()}


def _asked(own: FileKey) -> tuple[Any, Any]:
    """A key of some kinds: what it must be, and what is said of it."""
    words = own.words if own.default is not MISSING else {**own.words, "usual": "required by its kind"}
    return own.check, key(own.name, None, **words)


def keys_of(kind: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The keys that a load of a kind must have in a file, and those that it may have."""
    keys, more = file_keys(KINDS[kind]).values(), _DIODE if issubclass(KINDS[kind], BridgeLoad) else ()
    must = tuple(own.name for own in keys if own.default is MISSING)
    return must, (*(own.name for own in keys if own.name not in must), *more)


class _KindTable(Table):
    kind: Annotated[str, choice(KINDS)] = key("kind", meaning="what the winding feeds", label="Load")


class LoadTable(with_keys(_KindTable, {name: _asked(own) for name, own in _KEYS.items()} | _DIODE)):
    """A load as a file states it: its kind, and the keys of all kinds, by their names."""

    @presence("*")
    @staticmethod
    def _belongs(value: object, earlier: Earlier) -> None:
        kind, name = earlier.data.get("kind"), str(earlier.field_name)
        if kind is None or name == "kind":
            return
        must, may = keys_of(kind)
        if value is None and name in must:
            refuse_table(f'{name} must be given for kind "{kind}", was missing')
        if value is not None and name not in (*must, *may):
            refuse(f'be left out for kind "{kind}"', shown(value))
        if name == "drop_V" and value is not None and earlier.data.get("diode", "a wrong one") is not None:
            refuse("be left out when diode is given", shown(value))

    @rule("*")
    @classmethod
    def _above_another(cls, value: object, earlier: Earlier) -> object:
        keys = file_keys(KINDS[earlier.data["kind"]]) if "kind" in earlier.data else {}
        for own in keys.values():
            if own.name == earlier.field_name and own.above:
                above = keys[own.above].name
                minimum = earlier.data.get(above)
                if isinstance(value, float) and minimum is not None and value <= minimum:
                    refuse(f"be above {above} ({minimum:g})", f"{value:g}")
        return value


class LoadFileTable(Table):
    """The whole file."""

    load: LoadTable = key("load")


def read_load(path: str | os.PathLike[str]) -> Load:
    """The load of a file. Raises FileFaults with every fault in it."""
    return load_from_text(read_text(path), os.fspath(path))


def load_from_text(text: str, name: str) -> Load:
    """The load that `text` holds; `name` stands for the file in messages. Raises FileFaults."""
    return load_of(table_from_text(text, name, LoadFileTable).load)


def load_of(table: LoadTable) -> Load:
    """The load of a valid table."""
    kind, told = KINDS[table.kind], table.model_dump()
    values = {field: told[own.name] for field, own in file_keys(kind).items() if told[own.name] is not None}
    if issubclass(kind, BridgeLoad):
        values["drop"] = DIODES[told["diode"] or USUAL_DIODE] if told["drop_V"] is None else told["drop_V"]
    return kind(**values)


def load_rows(load: Load) -> list[Row]:
    """The `[load]` table of a load."""
    rows: list[Row] = [("kind", kind_of(load), ", ".join(KINDS)), *keyed_rows(load)]
    return rows if load.bridge is None else [*rows, _drop_row(load.bridge)]


def _drop_row(drop: Drop) -> Row:
    if isinstance(drop, Diode):
        return ("diode", drop.name, f"{', '.join(DIODES)}; or drop_V of one diode")
    return ("drop_V", decimal_of(drop), "of one diode; or diode = a kind of diode")


def load_document(load: Load) -> dict[str, float | str]:
    """The `[load]` table of a load for JSON; its keys name the units."""
    values = {key: value for key, value, _ in load_rows(load) if value is not None}
    return {key: float(value) if isinstance(value, Decimal | int) else str(value) for key, value in values.items()}


def load_text(load: Load) -> str:
    """The file of a load; the inverse of `load_from_text`."""
    return toml_text(HEADING, [], [("[load]", load_rows(load))])
