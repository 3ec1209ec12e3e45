"""Values that a file holds, declared once: the fields of a frozen dataclass say what the file calls them.

The class's constructor, the table that reads it, the rows that write it, README and the forms take it from there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, field, fields
from decimal import Decimal
from functools import cache
from math import isfinite
from typing import TYPE_CHECKING, Any

from geometry.files.key_tables import Checked, Earlier, Table, key, presence, refuse, refuse_table, with_keys
from geometry.files.values import shown
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
        if value is not None and other is not None:
            refuse(f"be left out when {keys[own.unless].name} is given", shown(value))
        if own.must and value is None and other is None:
            refuse_table(f"{keys[own.unless].name} or {own.name} must be given, was missing")

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
