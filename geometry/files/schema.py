"""What the tables of a file say of their keys, for whoever shows them: README, an editor, a form.

`key_tables` holds each key's unit, range, label and meaning once; here they are read out of a table's class.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, cast, get_args

from geometry.files.key_tables import Checked, FieldInfo, Table


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyEntry:
    """One key of a file: `name` with the tables that it stands in ("wire.length_m"), one number for any of a list.

    label, unit, meaning: for people. says: the limits of the value in the words of JSON Schema. repeated: a list of
    such values. default: as the file would write it, None where nothing stands for it. required: in its table;
    optional_table: whether that may be left out. usual: words for the key's absence.
    example: a value to start from, as the file would write it.
    """

    name: str
    label: str
    unit: str
    meaning: str
    says: Mapping[str, Any]
    repeated: bool
    default: object
    required: bool
    optional_table: bool
    usual: str
    example: str

    @property
    def choices(self) -> tuple[str, ...]:
        """The names to choose from; empty for a value of another kind."""
        return tuple(self.says.get("enum", ()))


def key_entries(table: type[Table], *, apart: bool = False) -> Iterator[KeyEntry]:
    """Every key of a table's class and of the tables within it, in the order of the file.

    apart: a table within it that has a meaning of its own counts as one key: its own keys are told elsewhere.
    """
    return _entries(table, "", optional=False, apart=apart)


def _entries(table: type[Table], before: str, *, optional: bool, apart: bool) -> Iterator[KeyEntry]:
    for field in table.model_fields.values():
        name = before + str(field.alias)
        inner = list(_found(field.annotation, Table))
        if inner and not (apart and field.description):
            yield from _entries(inner[0], f"{name}.", optional=field.default is None, apart=apart)
        else:
            yield _entry(name, field, optional=optional)


def _entry(name: str, field: FieldInfo, *, optional: bool) -> KeyEntry:
    checks = [part for part in field.metadata if isinstance(part, Checked)]
    checks += list(_found(field.annotation, Checked))
    more = cast("dict[str, str]", field.json_schema_extra)
    required = field.is_required()
    return KeyEntry(
        name=name, label=field.title or name, unit=more["x-unit"], meaning=field.description or "",
        says=checks[0].says if checks else {"type": "object"}, repeated="list[" in repr(field.annotation),
        default=None if required else field.default, required=required, optional_table=optional,
        usual=more["x-usual"], example=more["x-example"],
    )  # fmt: skip


def _found(annotation: Any, kind: type) -> Iterator[Any]:
    """Of an annotation, through lists and unions: the classes below `kind`, or the marks of that kind."""
    if isinstance(annotation, kind) or (isinstance(annotation, type) and issubclass(annotation, kind)):
        yield annotation
    for part in get_args(annotation):
        yield from _found(part, kind)


def json_schema(table: type[Table], title: str) -> dict[str, Any]:
    """The JSON Schema of a file, for editors that complete and check TOML by one."""
    schema: dict[str, Any] = table.model_json_schema() | {"title": title}
    for part in (schema, *schema.get("$defs", {}).values()):
        for value in part.get("properties", {}).values():
            for own in ("x-unit", "x-usual", "x-example"):
                value.pop(own, None)
            if isinstance(value.get("default"), dict) or value.get("default", 0) is None:
                del value["default"]  # TOML has no null, and a table's own keys say their defaults
    return {"$schema": "https://json-schema.org/draft/2020-12/schema"} | schema
