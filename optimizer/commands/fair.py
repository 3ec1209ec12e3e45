"""polepitch compare BRIEF --equal …: the coil shapes of a brief on equal terms."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from optimizer.terminal.answer import answer, written

if TYPE_CHECKING:
    from optimizer.surveys.like_for_like import FairComparison


def compare_shapes(brief: Path, equal: tuple[str, ...], folder: Path | None, as_json: bool) -> None:
    """Compare on each of the `equal` terms once, write all files to `folder` and print."""
    from optimizer.brief.brief import read_brief
    from optimizer.surveys.like_for_like import fair_comparison
    from optimizer.terminal.progress import shown_progress
    from optimizer.words.fair_words import fair_document

    wanted = read_brief(brief)
    with shown_progress() as progress:
        progress("Comparing coil shapes", 0.0)
        compared = fair_comparison(wanted, tuple(dict.fromkeys(equal)))
    told = written(folder, lambda: _files(compared))
    answer(fair_document(compared), [*_lines(compared), *told], as_json)


def _files(compared: FairComparison) -> dict[str, bytes]:
    from optimizer.reports.fair_report import fair_files

    return fair_files(compared)


def _lines(compared: FairComparison) -> list[str]:
    from optimizer.words.fair_words import base_words, equal_words, finding_words, missing_words, table_rows

    lines = [compared.brief.title, "", base_words(compared)]
    for term in compared.terms:
        rows = [("", [each.name for each in term.contestants]), *table_rows(term)]
        width = max([14, *(len(cell) + 2 for _, cells in rows for cell in cells)])
        table = [f"  {name:<28}" + "".join(f"{cell:>{width}}" for cell in cells) for name, cells in rows]
        missing = [missing_words(term)] if term.missing else []
        lines += ["", finding_words(term), equal_words(compared, term), *missing, *table]
    return lines
