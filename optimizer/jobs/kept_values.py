"""Values as a journal keeps them: JSON that comes back to the bit, our own classes by names that never change.

A class stands in a journal by its bare name, one that had written journals before classes moved by the name of then:
where a class lives, and what it or its fields are called today, does not matter to a journal. The second door to
pydantic, which makes our values again and says what is missing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from decimal import Decimal
from functools import cache
from typing import Any, cast, get_args, get_type_hints

import numpy as np
from pydantic import TypeAdapter

from geometry.coils.topology import TOPOLOGIES, Topology
from geometry.files.values import is_table

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


def plain(value: Any) -> Any:
    """`value` as JSON can hold it: numbers, texts, lists, mappings by text, and our own dataclasses by name."""
    if value is None or isinstance(value, bool | int | float | str | np.generic):
        return cast("np.generic[Any]", value).item() if isinstance(value, np.generic) else value
    if isinstance(value, Topology):
        return {"=": "topology", "name": value.name}
    if isinstance(value, Decimal):
        return {"=": "decimal", "text": str(value)}
    if is_dataclass(value) and not isinstance(value, type):
        held = {_key(field.name): plain(getattr(value, field.name)) for field in fields(value)}
        return {"=": _name(type(value)), **held}
    if isinstance(value, list | tuple):
        kind, items = "list" if isinstance(value, list) else "tuple", cast("Sequence[object]", value)
        return {"=": kind, "of": [plain(item) for item in items]}
    if is_table(value):
        return {"=": "dict", "of": {key: plain(item) for key, item in value.items()}}
    raise TypeError(
        f"a journal holds numbers, texts, lists, mappings and our own types, was {type(value).__name__}"
    )


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
