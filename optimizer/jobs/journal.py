"""The journal of a long job: a file of JSON lines, one per finished unit, only ever added to.

The first line says which job it belongs to; a file that does not begin so is never touched. Each line ends with a
checksum of itself. A line that was being written when the power went is cut off on opening.
Numbers come back to the bit: JSON holds the shortest decimal of each. A class stands in a journal by its bare name, one
that had written journals before classes moved by the name of then: where a class lives, and what it or its fields are
called today, does not matter to a journal. The second door to pydantic, which makes our values again.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import Field, dataclass, fields, is_dataclass
from decimal import Decimal
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any, Self, cast, get_args, get_type_hints

import numpy as np
from pydantic import TypeAdapter

from geometry.coils.topology import TOPOLOGIES, Topology
from geometry.files.values import is_table
from optimizer.jobs.documents import versions
from optimizer.jobs.output import OutputFault

# module of then: classes, by their names of then
_FIRST_HOMES = {
    "geometry.corner": ("Corner",),
    "geometry.curve": ("Arc", "Line"),
    "geometry.layout": ("Carrier", "Layout", "Space", "Winding"),
    "geometry.magnet": ("DiscMagnet", "RingMagnet"),
    "geometry.magnet_shapes": ("ArcMagnet", "BlockMagnet"),
    "geometry.wire": ("Wire",),
    "optimizer.brief": ("Brief", "StockMagnet"),
    "optimizer.choices": ("Dimensions", "Family"),
    "optimizer.chunked_scan": ("ScanUnit", "UnitSeeds"),
    "optimizer.diodes": ("Diode",),
    "optimizer.figures": ("Figures", "MagnetFigures"),
    "optimizer.load_target": ("LoadTarget",),
    "optimizer.loads": (
        "BridgeBattery", "BridgeCapacitor", "BridgeResistor", "OpenCircuit", "Resistor", "UsbConverter",
    ),
    "optimizer.pareto": ("FamilySeeds",),
    "optimizer.prices": ("Prices",),
    "optimizer.result": ("Entry",),
    "optimizer.scan": ("Seed",),
    "optimizer.sweep": ("Search", "SweepPoint"),
}  # fmt: skip
_NAMES = {kind: f"{home}.{kind}" for home, kinds in _FIRST_HOMES.items() for kind in kinds}
_RENAMED = {
    "emf_thd": "emf_distortion", "Candidate": "Seed", "Scan": "UnitSeeds", "MagnetStarts": "FamilySeeds",
    "starts": "seeds",
}  # fmt: skip
"""Classes and fields by their names of today, and what journals call them."""
_LATER = frozenset({("Brief", "spools"), ("Wire", "strands"), ("StockMagnet", "price")}
    | {(f"{shape}Magnet", "pull") for shape in ("Disc", "Ring", "Block", "Arc")})
"""Fields that the first journals did not know: at their defaults a journal leaves them out."""


def plain(value: Any) -> Any:
    """`value` as JSON can hold it: numbers, texts, lists, mappings by text, and our own dataclasses by name."""
    if value is None or isinstance(value, bool | int | float | str | np.generic):
        return cast("np.generic[Any]", value).item() if isinstance(value, np.generic) else value
    if isinstance(value, Topology):
        return {"=": "topology", "name": value.name}
    if isinstance(value, Decimal):
        return {"=": "decimal", "text": str(value)}
    if is_dataclass(value) and not isinstance(value, type):
        kept = [field for field in fields(value) if not _unknown_then(value, field)]
        return {"=": _name(type(value)), **{_key(field.name): plain(getattr(value, field.name)) for field in kept}}
    if isinstance(value, list | tuple):
        kind, items = "list" if isinstance(value, list) else "tuple", cast("Sequence[object]", value)
        return {"=": kind, "of": [plain(item) for item in items]}
    if is_table(value):
        return {"=": "dict", "of": {key: plain(item) for key, item in value.items()}}
    raise TypeError(
        f"a journal holds numbers, texts, lists, mappings and our own types, was {type(value).__name__}"
    )


def _unknown_then(value: object, field: Field[Any]) -> bool:
    return (type(value).__name__, field.name) in _LATER and getattr(value, field.name) == field.default


def restored(data: Any, kinds: Mapping[str, type]) -> Any:
    """What `plain` was given; `kinds`: the classes that may be in it, by their names. What a class no longer has is
    passed over. Raises ValueError (pydantic's is one) or LookupError for anything else."""
    if not is_table(data):
        return data
    name = data["="]
    if name == "topology":
        return TOPOLOGIES[data["name"]]
    if name == "decimal":
        return Decimal(data["text"])
    if name == "dict":
        return {key: restored(item, kinds) for key, item in data["of"].items()}
    if name in ("list", "tuple"):
        items = [restored(item, kinds) for item in data["of"]]
        return items if name == "list" else tuple(items)
    kind, data = kinds[name], _as_today(name, data)
    held = {field.name: _key(field.name) for field in fields(kind)}
    return _reader(kind).validate_python(
        {ours: restored(data[key], kinds) for ours, key in held.items() if key in data}
    )


def kinds_within(hint: Any) -> dict[str, type]:
    """The dataclasses that a value of a type can hold, by their names in journals; subclasses are among them."""
    found: dict[str, type] = {}
    left = [hint]
    while left:
        each = left.pop()
        if not (isinstance(each, type) and is_dataclass(each)):
            left += get_args(each)
        elif _name(each) not in found:
            found[_name(each)] = each
            left += [*each.__subclasses__(), *get_type_hints(each).values()]
    return found


def _as_today(name: str, data: dict[str, Any]) -> dict[str, Any]:
    """Figures of then held copies of their layout's numbers, and the layout stood beside them."""
    figures = data.get("figures")
    if name != _NAMES["Entry"] or not figures or "layout" in figures:
        return data
    more = {"layout": data["layout"], "polarization_T": figures["magnet"]["polarization_T"]}
    return data | {"figures": figures | more}


@cache
def _reader(kind: type) -> TypeAdapter[Any]:
    return TypeAdapter(kind)


def _name(kind: type) -> str:
    called = _key(kind.__name__)
    return _NAMES.get(called, called)


def _key(name: str) -> str:
    return _RENAMED.get(name, name)


FORMAT = 2
LONGEST_HEAD = 10_000  # bytes of a first line, in which a file shows whether it is a journal
OWN = b'{"journal": '  # how one begins
UNIT = b'{"unit": '  # how its other lines do
CHECKED = re.compile(rb'(\{.*), "sum": "([0-9a-f]{12})"\}\n', re.DOTALL)


class JournalFault(OutputFault):
    """A journal that cannot be used; the message names the file and says why."""


@dataclass(frozen=True, slots=True)
class Journal:
    """An open journal. known: index of a unit to its result, as far as they were finished before."""

    path: Path
    known: Mapping[int, Any]

    @classmethod
    def open(cls, path: Path, job: Iterable[object], result: object = Any) -> Self:
        """The journal at `path`, new or with what it holds; the parts of `job` are the same whenever the job is.

        result: the type of a unit's result; a journal can name no classes but those that such a value can hold.
        Raises JournalFault when the file belongs to another job, was made by other versions of the libraries,
        is no journal or cannot be written.
        """
        head = {"journal": FORMAT, "job": fingerprint(job), "versions": versions()}
        try:
            if path.exists() and not path.is_file():
                raise JournalFault(f"--resume: must be a file, was {path}, which is none")
            if not path.exists() or path.stat().st_size == 0:
                _append(path, [head])
                return cls(path, {})
            return cls(path, _known(path, head, kinds_within(result)))
        except OSError as error:
            raise JournalFault(f"--resume: cannot use {path}: {error.strerror or error}") from error

    def add(self, results: Mapping[int, Any]) -> None:
        """Put finished units down, on the disk when this returns."""
        try:
            rows = [{"unit": unit, "result": plain(result)} for unit, result in results.items()]
            _append(self.path, rows)
        except OSError as error:
            raise JournalFault(f"--resume: cannot write {self.path}: {error.strerror or error}") from error


def fingerprint(job: Iterable[object]) -> str:
    """A hash of the values of all parts of a job."""
    found = sha256()
    for part in job:
        found.update(json.dumps(plain(part), sort_keys=True).encode() + b"\n")
    return found.hexdigest()


def _line(row: dict[str, Any]) -> bytes:
    """A row as a line that ends with its checksum."""
    held = json.dumps(row, ensure_ascii=False, allow_nan=True).encode()[:-1]
    return held + f', "sum": "{_sum(held)}"}}\n'.encode()


def _sum(held: bytes) -> str:
    return sha256(held).hexdigest()[:12]


def _append(path: Path, rows: list[dict[str, Any]]) -> None:
    handle = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o666)
    try:
        data = b"".join(map(_line, rows))
        while data:
            data = data[os.write(handle, data) :]
        os.fsync(handle)
    finally:
        os.close(handle)


def _known(path: Path, head: dict[str, Any], kinds: Mapping[str, type]) -> dict[int, Any]:
    """The finished units of a journal, once every line of it was found whole; a torn last line is cut off."""
    known: dict[int, Any] = {}
    with path.open("rb") as file:
        first = file.readline(LONGEST_HEAD)
        if first.startswith(OWN) and not first.endswith(b"\n") and _line(head).startswith(first):
            whole = 0  # no more than the beginning of this very job's first line
        else:
            _check_head(path, first, head)
            whole = len(first)
            for number, line in enumerate(file, 2):
                if not line.endswith(b"\n") and line[: len(UNIT)] == UNIT[: len(line)]:
                    break
                unit, result = _unit(path, number, line, kinds)
                known[unit] = result
                whole += len(line)
    if whole < path.stat().st_size:
        os.truncate(path, whole)
    if whole == 0:
        _append(path, [head])
    return known


def _unit(path: Path, number: int, line: bytes, kinds: Mapping[str, type]) -> tuple[int, Any]:
    mend = f"delete line {number} to have its part worked out again, or name another file to start anew"
    strange = JournalFault(f"{path}:{number}: must be a line of a journal, was not; {mend}")
    row = _row(line, f"{path}:{number}", mend)
    try:
        if row is not None:
            return int(row["unit"]), restored(row["result"], kinds)
    except (ValueError, LookupError, TypeError) as error:
        raise strange from error
    raise strange


def _check_head(path: Path, first: bytes, head: dict[str, Any]) -> None:
    anew = "name another file to start anew"
    if first.startswith(OWN + b"1,"):
        raise JournalFault(
            f"{path}: must be a journal whose lines carry checksums, was one of an earlier version; it was left as it "
            f"is: {anew}"
        )
    row = _row(first, f"{path}:1", anew) if first.startswith(OWN) else None
    if row is None or row["journal"] != FORMAT:
        raise JournalFault(
            f"{path}: must be a journal of a sweep or a search, was another file; it was left as it is"
        )
    if row["job"] != head["job"]:
        raise JournalFault(
            f"{path}: must be the journal of this very job, was another's (the brief or what is swept differs); {anew}"
        )
    if row["versions"] != head["versions"]:
        raise JournalFault(
            f"{path}: must come from the same versions of the libraries, was {row['versions']}; {anew}"
        )


def _row(line: bytes, place: str, mend: str) -> dict[str, Any] | None:
    """What a line holds; None for one that ends without a checksum. JournalFault where that does not match."""
    found = CHECKED.fullmatch(line)
    if found is not None and _sum(found[1]) != found[2].decode():
        raise JournalFault(
            f"{place}: must be as it was written, was changed since (its checksum does not match); {mend}"
        )
    return json.loads(found[1] + b"}") if found else None
