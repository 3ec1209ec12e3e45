"""Values that a file holds, declared once, and what its tables say of them to README, an editor, a form.

The fields of a frozen dataclass say what the file calls them: its constructor, the table that reads it and the rows
that write it take it from there.

`key_tables` holds each key's unit, range, label and meaning once; here they are read out of a table's class.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import MISSING, dataclass, field, fields
from decimal import Decimal
from functools import cache
from math import isfinite
from typing import TYPE_CHECKING, Any, cast, get_args

from geometry.files.key_tables import (
    Checked,
    Earlier,
    FieldInfo,
    Table,
    key,
    presence,
    require_one,
    with_keys,
)
from geometry.files.writing import Row


@dataclass(frozen=True, slots=True, kw_only=True)
class FileKey:
    """How a file names and limits a field.

    words: as `key_tables.key` takes them. comment: beside it in a file. default: in SI units; MISSING of one that is
    required. unless: the field in whose place this one stands; must: whether one of both is to be given. above: the
    field that it must exceed.
    """

    name: str
    check: Checked
    words: Mapping[str, Any]
    comment: str
    default: Any
    unless: str
    must: bool
    above: str


def keyed(  # noqa: PLR0913 - what is said of a key
    name: str,
    check: Checked,
    meaning: str,
    label: str = "",
    *,
    default: Any = MISSING,
    comment: str | None = None,
    unless: str = "",
    must: bool = False,
    above: str = "",
    **words: Any,
) -> Any:
    """A dataclass field, in SI units, that a file holds as `name`; see `FileKey`.

    comment: by default the meaning. words: unit, usual and example.
    """
    told = FileKey(
        name=name, check=check, words=words | {"meaning": meaning, "label": label},
        comment=meaning if comment is None else comment, default=default, unless=unless, must=must, above=above,
    )  # fmt: skip
    return field(default=default, metadata={"key": told})


@cache
def file_keys(kind: type) -> dict[str, FileKey]:
    """The keys of a class by its fields; those that no file holds are left out."""
    return {each.name: each.metadata["key"] for each in fields(kind) if "key" in each.metadata}


class KeyedTable(Table):
    """A table whose keys a dataclass declares."""

    if TYPE_CHECKING:

        def __getattr__(self, name: str) -> Any: ...


def table_of(kind: type, *names: str, base: type[KeyedTable] = KeyedTable) -> type[KeyedTable]:
    """The table of a file that holds values of the class, or of those of its fields that are named, after a base's."""
    keys = {name: own for name, own in file_keys(kind).items() if name in (names or (name,))}
    paired = [name for name, own in keys.items() if own.unless]

    def alone(value: object, earlier: Earlier) -> None:
        """One key in another's place."""
        own = keys[str(earlier.field_name)]
        other = earlier.data.get(own.unless, "a wrong one")
        require_one(value, own.name, other, keys[own.unless].name, must=own.must)

    declared: dict[str, tuple[Any, Any]] = {}
    for name, own in keys.items():
        usual = ... if own.default is MISSING else own.check.written(own.default)
        given = float(usual) if isinstance(usual, Decimal) else usual
        declared[name] = own.check, key(own.name, given, **own.words)
    rules = {"alone": presence(*paired)(alone)} if paired else {}
    return with_keys(base, declared, f"{kind.__name__}Table", **rules)


def keyed_values(kind: type, table: object) -> dict[str, Any]:
    """What a table of a file holds for the class's constructor."""
    return {name: getattr(table, name) for name in file_keys(kind)}


def keyed_rows(value: object, *, usual: bool = True) -> list[Row]:
    """The table of a value in a file; what is None is left out, and without `usual` what is at its default."""
    return [
        (own.name, own.check.written(held), own.comment)
        for name, own in file_keys(type(value)).items()
        if (held := getattr(value, name)) != own.default or usual
    ]


def require_positive(owner: object, *names: str) -> None:
    """Raise ValueError unless each of the named attributes is finite and above zero, or None."""
    for name in names:
        value = getattr(owner, name)
        if value is not None and not (isfinite(value) and value > 0):
            raise ValueError(f"{name} must be above zero, was {value:g}")


def require_keyed(value: object) -> None:
    """Raise ValueError for a field on the wrong side of zero, beyond a share's most or not above another that it must
    exceed, of a name that is not known, or beside the one in whose place it stands."""
    for name, own in file_keys(type(value)).items():
        held = getattr(value, name)
        if own.unless and (getattr(value, own.unless) is None) == (held is None) and (own.must or held is not None):
            raise ValueError(f"{'exactly' if own.must else 'at most'} one of {own.unless} and {name} must be given")
        if held is None:
            continue
        says = own.check.says
        if isinstance(held, str):
            if held not in says.get("enum", (held,)):
                raise ValueError(f"{name} must be one of {', '.join(says['enum'])}, was {held}")
        elif not (isfinite(held) and held >= 0) or (held == 0 and says.get("minimum") != 0):
            wanted = "not be below" if says.get("minimum") == 0 else "be above"
            raise ValueError(f"{name} must {wanted} zero, was {held:g}")
        elif held > says["maximum"] and says["maximum"] <= 1:
            raise ValueError(f"{name} must be at most {says['maximum']:g}, was {held:g}")
        elif own.above and held <= (other := getattr(value, own.above)):
            raise ValueError(f"{name} must be above {own.above} ({other:g}), was {held:g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyEntry:
    """One key of a file: `name` with the tables that it stands in ("wire.length_m"), one number for any of a list.

    label, unit, meaning: for people. says: the limits of the value in the words of JSON Schema. repeated: a list of
    such values. default: as the file would write it, None where nothing stands for it. required: in its table;
    optional_table: whether that may be left out. usual: words for the key's absence.
    example: a value to start from, as the file would write it. header: of the table that it stands in, `[a.b]` or
    `[[a]]`; empty above every table.
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
    header: str

    @property
    def choices(self) -> tuple[str, ...]:
        """The names to choose from; empty for a value of another kind."""
        return tuple(self.says.get("enum", ()))


def key_entries(table: type[Table], *, apart: bool = False) -> Iterator[KeyEntry]:
    """Every key of a table's class and of the tables within it, in the order of the file.

    apart: a table within it that has a meaning of its own counts as one key: its own keys are told elsewhere.
    """
    return _entries(table, "", optional=False, apart=apart)


def _entries(table: type[Table], header: str, *, optional: bool, apart: bool) -> Iterator[KeyEntry]:
    before = f"{header.strip('[]')}." if header else ""
    for each in table.model_fields.values():
        name = before + str(each.alias)
        inner = list(_found(each.annotation, Table))
        if inner and not (apart and each.description):
            within = f"[[{name}]]" if _listed(each) else f"[{name}]"
            yield from _entries(inner[0], within, optional=each.default is None, apart=apart)
        else:
            yield _entry(name, each, header, optional=optional)


def _listed(field: FieldInfo) -> bool:
    """Whether a field holds a list."""
    return "list[" in repr(field.annotation)


def _entry(name: str, field: FieldInfo, header: str, *, optional: bool) -> KeyEntry:
    checks = [part for part in field.metadata if isinstance(part, Checked)]
    checks += list(_found(field.annotation, Checked))
    more = cast("dict[str, str]", field.json_schema_extra)
    required = field.is_required()
    return KeyEntry(
        name=name, label=field.title or name, unit=more["x-unit"], meaning=field.description or "",
        says=checks[0].says if checks else {"type": "object"}, repeated=_listed(field),
        default=None if required else field.default, required=required, optional_table=optional,
        usual=more["x-usual"], example=more["x-example"], header=header,
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
