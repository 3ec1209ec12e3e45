"""polepitch compare BRIEF --equal …: the coil shapes of a brief on equal terms."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from optimizer.terminal.answer import answer, written

if TYPE_CHECKING:
    from optimizer.surveys.like_for_like import LikeForLike


def compare_shapes(brief: Path, equal: tuple[str, ...], folder: Path | None, as_json: bool) -> None:
    """Compare on each of the `equal` terms once, write all files to `folder` and print."""
    from optimizer.brief.brief import read_brief
    from optimizer.surveys.like_for_like import compare_like_for_like
    from optimizer.terminal.progress import shown_progress
    from optimizer.words.like_for_like_words import like_for_like_document

    wanted = read_brief(brief)
    with shown_progress() as progress:
        progress("Comparing coil shapes", 0.0)
        compared = compare_like_for_like(wanted, tuple(dict.fromkeys(equal)))
    told = written(folder, lambda: _files(compared))
    answer(like_for_like_document(compared), [*_lines(compared), *told], as_json)


def _files(compared: LikeForLike) -> dict[str, bytes]:
    from optimizer.reports.like_for_like_report import like_for_like_files

    return like_for_like_files(compared)


def _lines(compared: LikeForLike) -> list[str]:
    from optimizer.words.like_for_like_words import (
        base_words,
        equal_words,
        finding_words,
        missing_words,
        table_rows,
    )

    lines = [compared.brief.title, "", base_words(compared)]
    for term in compared.terms:
        rows = [("", [each.name for each in term.shape_entries]), *table_rows(term)]
        width = max([14, *(len(cell) + 2 for _, cells in rows for cell in cells)])
        table = [f"  {name:<28}" + "".join(f"{cell:>{width}}" for cell in cells) for name, cells in rows]
        missing = [missing_words(term)] if term.missing else []
        lines += ["", finding_words(term), equal_words(compared, term), *missing, *table]
    return lines
