"""Figures as bytes for programs: documents in JSON, tables in CSV, and the versions that made them."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable, Mapping, Sequence
from importlib.metadata import PackageNotFoundError, version
from io import StringIO
from platform import python_version
from typing import Any, TypeAlias

FORMULA = tuple("=+-@\uff1d\uff0b\uff0d\uff20\t\r\n")  # what a spreadsheet takes for a formula's first character
FIGURES = 7  # significant digits of what loads, drives, comparisons and rewindings print and save

Document: TypeAlias = "float | str | Mapping[str, Document] | Sequence[Document] | None"
"""What JSON can hold."""


def json_bytes(document: Mapping[str, Any], *, indent: int = 2) -> bytes:
    """A document in JSON (UTF-8), with a last line feed."""
    return (json.dumps(document, ensure_ascii=False, indent=indent) + "\n").encode()


def rounded(value: Document) -> Any:
    """A value of a document to seven significant digits, with all that is in it."""
    match value:
        case float():
            return float(f"{value:.{FIGURES}g}")
        case Mapping():
            return {key: rounded(item) for key, item in value.items()}
        case list() | tuple():
            return [rounded(item) for item in value]
        case _:
            return value


def csv_bytes(rows: Sequence[Mapping[str, Any]]) -> bytes:
    """Rows of equal keys, at least one, as a table in CSV; None is an empty cell."""
    return csv_table(list(rows[0]), (row.values() for row in rows))


def csv_table(columns: Sequence[str], rows: Iterable[Iterable[Any]]) -> bytes:
    """Rows of cells under their columns' names as a table in CSV (UTF-8, comma, decimal point).

    A text that a spreadsheet would take for a formula gets an apostrophe before it, so that it stays a text.
    """
    stream = StringIO()
    table = csv.writer(stream, lineterminator="\r\n")
    table.writerow(columns)
    table.writerows([_harmless(cell) for cell in row] for row in rows)
    return stream.getvalue().encode()


def _harmless(cell: Any) -> Any:
    """The cell; a text that is no number and begins like a formula, with blanks before it or not, as plain text."""
    if not isinstance(cell, str) or not cell.lstrip(" ").startswith(FORMULA):
        return cell
    try:
        float(cell)
    except ValueError:
        return f"'{cell}"
    return cell


LIBRARIES = (
    "numpy", "scipy", "shapely", "matplotlib", "ezdxf", "reportlab", "manifold3d", "jinja2", "pydantic", "tomlkit",
)  # fmt: skip
SEED = "No random number is drawn: there is no seed, and the same input gives the same result"


def versions() -> dict[str, str]:
    """Name to version, polepitch first; "sources" for a package that runs from its sources alone."""
    return {"polepitch": _version("polepitch"), "python": python_version()} | {
        name: _version(name) for name in LIBRARIES
    }


def versions_json() -> bytes:
    """The versions, and how the search was seeded, as a JSON file."""
    return json_bytes({"versions": versions(), "seed": SEED}, indent=1)


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "sources"


__version__ = _version("polepitch")
