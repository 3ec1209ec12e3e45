"""A file to begin with: it runs as it is, and has every key that it may also hold as a comment to take the # from."""

from __future__ import annotations

import json
from math import ceil, floor

from geometry.coils.topology import USUAL_TOPOLOGIES
from geometry.files.faults import key_lines
from geometry.files.key_tables import Table
from geometry.files.schema import KeyEntry, key_entries
from geometry.machine.layout import Layout
from optimizer.brief.brief import Brief, StockMagnet
from optimizer.evaluation.chain import evaluate
from optimizer.starters.file_kinds import FILE_KINDS, example_text
from optimizer.words.key_words import ALSO, also_words

USUAL_PEG = 1.5e-3  # m, as briefs have it that name none


def starter_text(kind: str, text: str | None = None) -> str:
    """The starter of a kind of file: its example, or the file `text`, with what else it may hold."""
    return with_other_keys(example_text(kind) if text is None else text, FILE_KINDS[kind])


def with_other_keys(text: str, table: type[Table]) -> str:
    """A file's text with the keys that it does not have, as comments: each at the end of its own table."""
    held, ends = _lines_held(text)
    added: dict[str, list[str]] = {}
    for entry in key_entries(table, apart=True):
        if entry.name not in held:
            apart = entry.says["type"] == "object"  # a table whose own keys are told elsewhere
            added.setdefault(f"[{entry.name}]" if apart else entry.header, []).append(_comment(entry))
    lines = text.rstrip("\n").split("\n")
    places = {header: ends[name] for header in added if (name := header.strip("[]")) in ends}
    for header, place in sorted(places.items(), key=lambda each: -each[1]):
        lines[place:place] = added.pop(header)
    for header, comments in added.items():
        lines += ["", f"# {header}", *comments]
    return "\n".join([lines[0], f"# {ALSO}", *lines[1:]]) + "\n"


def _lines_held(text: str) -> tuple[set[str], dict[str, int]]:
    """Dotted names of all keys of a file, and the last line (from 1) of each table's own keys; of a list's last."""
    paths = {tuple(part for part in path if isinstance(part, str)): line for path, line in key_lines(text).items()}
    tables = {path[:-1] for path in paths}
    ends: dict[str, int] = {}
    for path, line in paths.items():
        if path not in tables:
            ends[".".join(path[:-1])] = max(line, ends.get(".".join(path[:-1]), 0))
    return {".".join(path) for path in paths}, ends


def _comment(entry: KeyEntry) -> str:
    """A key as a comment: with what it is without one, or with what it may start from, or left to be filled in."""
    if entry.says["type"] == "object":
        return f"# {also_words(entry)}"
    value = entry.example if entry.default is None else _written(entry.default)
    return f"# {entry.name.rpartition('.')[2]} = {value}".rstrip() + f"  # {also_words(entry)}"


def _written(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else json.dumps(value, ensure_ascii=False)


def brief_of(layout: Layout) -> Brief:
    """A brief that the layout answers: its magnets and its wire at hand, its space, its speed."""
    winding, carrier = layout.winding, layout.carrier
    room = min(winding.width, winding.height / layout.pieces) / winding.wire.overall_diameter
    return Brief(
        title=layout.title,
        space=layout.space,
        air_gap=layout.air_gap,
        coil_height=layout.stack_height,
        speed_rpm=layout.speed_rpm,
        magnets=(StockMagnet(magnet=carrier.magnet, quantity=carrier.count * carrier.carriers),),
        wires=(winding.wire,),
        length=ceil(evaluate(layout).wire_needed_m * 10 - 1e-6) / 10,
        resistance=None,
        fill_factor=winding.fill_factor,
        peg_radius=min(winding.peg_radius, USUAL_PEG),
        topologies=tuple(dict.fromkeys((winding.topology, *USUAL_TOPOLOGIES))),
        goal="emf_rms",
        least_layers=min(3, max(floor(room * (1 + 1e-9)), 1)),
        phases=(layout.phases,),
        arrangement=carrier.arrangement,
        plate=carrier.plate,
    )
