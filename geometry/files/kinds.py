"""What kind of file a text is, told by its tables: for a brief that is handed over where a layout is due."""

from __future__ import annotations

from collections.abc import Iterable

_MARKS = (
    ("a layout", {"carrier", "winding"}),
    ("a brief", {"magnets", "wire"}),
    ("a rig", {"mechanism", "mover"}),
    ("a motor", {"motor"}),
)
_ALONE = {"load": "a load", "prices": "a list of prices"}  # files that hold this table and no other


def kind_of_file(keys: Iterable[str]) -> str | None:
    """The kind of file with these keys at its top, with its article; None when they do not tell."""
    names = set(keys) - {"title"}
    kind = next((kind for kind, marks in _MARKS if marks <= names), None)
    return kind or (_ALONE.get(*names) if len(names) == 1 else None)
