"""What the commands print for people of a machine, and tables in columns."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import zip_longest
from textwrap import wrap

from optimizer.evaluation.chain import Figures
from optimizer.words.figure_catalogue import machine_groups
from optimizer.words.wording import SPACE, RowOfWords, TableOfWords

CELL_WIDTH = 30  # most of a column in a table
NAME_WIDTH, VALUE_WIDTH = 21, 23  # columns of a machine's figures


def figure_lines(figures: Figures) -> list[str]:
    """One machine's figures, a line each under their headings."""
    groups = machine_groups(figures)
    titled = [(name, [(row.label, row.value, row.remark) for row in rows]) for name, rows in groups.items()]
    return [line.replace(SPACE, " ") for line in table_lines(titled, (NAME_WIDTH, VALUE_WIDTH))]


def table_lines(groups: Iterable[tuple[str, Iterable[RowOfWords]]], widths: tuple[int, int]) -> list[str]:
    """Rows of name, value and remark under their headings, an empty line before each heading but the first."""
    (wide, long), lines = widths, list[str]()
    for title, rows in groups:
        lines += ["", title]
        lines += [f"  {name:<{wide}} {value:<{long}} {remark}".rstrip() for name, value, remark in rows]
    return lines[1:]


def column_lines(table: TableOfWords) -> list[str]:
    """A table in columns, long cells on several lines, the marked row with an arrow."""
    rows = [table.heads, *table.rows]
    marks = ["< chosen" if table.mark is not None and at == table.mark + 1 else "" for at in range(len(rows))]
    broken = [
        line
        for row, mark in zip(rows, marks, strict=True)
        for line in zip_longest(*(wrap(cell, CELL_WIDTH) for cell in (*row, mark)), fillvalue="")
    ]
    return [line.replace(SPACE, " ") for line in columns(broken)]


def columns(rows: Sequence[Sequence[str]]) -> list[str]:
    """Cells as lines, each column as wide as its widest cell."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        f"  {'  '.join(f'{cell:<{width}}' for cell, width in zip(row, widths, strict=True))}".rstrip()
        for row in rows
    ]
