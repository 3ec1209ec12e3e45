"""The rig file: mechanism, mover, gears, flywheel, bearings, charge. Reading what was written gives the equal rig."""

from __future__ import annotations

import os
from collections.abc import Sequence

from geometry.files.keyed import keyed_rows
from geometry.files.reading import read_back, read_text, table_from_text
from geometry.files.writing import toml_text
from optimizer.loads.load_file import load_of, load_rows
from optimizer.rigs.mechanisms import MECHANISMS
from optimizer.rigs.operator import Operator
from optimizer.rigs.rig import Bearings, Charge, Flywheel, GearStage, Rig
from optimizer.rigs.rig_tables import GearTable, RigTable

HEADING = "A rig: the hand and what it turns a generator with. Keys that end in _mm are millimetres."


def read_rig(path: str | os.PathLike[str]) -> Rig:
    """The rig of a file. Raises FileFaults with every fault in it."""
    return rig_from_text(read_text(path), os.fspath(path))


def rig_from_text(text: str, name: str) -> Rig:
    """The rig that `text` holds; `name` stands for the file in messages. Raises FileFaults."""
    table = table_from_text(text, name, RigTable)
    ((mechanism, measures),) = table.mechanism.given.items()
    wheel, charge = table.flywheel, table.charge
    return Rig(
        title=table.title,
        mechanism=MECHANISMS[mechanism](**measures.model_dump()),
        operator=Operator(**table.operator.model_dump()),
        gears=gear_stages(table.gears),
        flywheel=Flywheel(**wheel.model_dump()) if wheel else None,
        bearings=Bearings(**table.bearings.model_dump()),
        charge=Charge(**charge.model_dump()) if charge else None,
        load=load_of(table.load) if table.load else None,
    )


def gear_stages(tables: Sequence[GearTable] | None) -> tuple[GearStage, ...]:
    """The stages of a file's [[gears]]."""
    return tuple(GearStage(**stage.model_dump()) for stage in tables or ())


def rig_text(rig: Rig) -> str:
    """The file of a rig, with comments; the exact inverse of `rig_from_text`.

    Raises ValueError for a rig that the file could not give back: a value beyond the file's limits.
    """
    mechanism = next(name for name, kind in MECHANISMS.items() if type(rig.mechanism) is kind)
    tables = [
        (header, keyed_rows(value))
        for header, value in (
            (f"[mechanism.{mechanism}]", rig.mechanism),
            ("[mover]", rig.operator),
            *(("[[gears]]", stage) for stage in rig.gears),
            ("[flywheel]", rig.flywheel),
            ("[bearings]", rig.bearings),
            ("[charge]", rig.charge),
        )
        if value is not None
    ]
    if rig.load is not None:
        tables.append(("[load]", load_rows(rig.load)))
    written = toml_text(HEADING, [("title", rig.title, "")], [("[mechanism]", []), *tables])
    if read_back(written, "rig", rig_from_text) != rig:
        raise ValueError(
            "this rig cannot be written to a file: it holds values that its other values make idle"
        )
    return written
