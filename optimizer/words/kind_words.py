"""Kinds of magnet told apart by a letter, where a brief has more than one: A for its first `[[magnets]]` table."""

from __future__ import annotations

from string import ascii_uppercase

from geometry.machine.layout import Layout
from optimizer.brief.brief import Brief


def kind_mark(brief: Brief, layout: Layout) -> str:
    """The letter of a layout's magnets; empty where the brief has only one kind."""
    kinds = [stock.magnet for stock in brief.magnets]
    return _letter(kinds.index(layout.carrier.magnet)) if len(kinds) > 1 else ""


def kind_words(brief: Brief, layout: Layout) -> str:
    """The letter and what it stands for: "B: disc ⌀ 20 × 6 mm"; empty where the brief has only one kind."""
    mark, magnet = kind_mark(brief, layout), layout.carrier.magnet
    return f"{mark}: {magnet.label}{f', {magnet.grade}' if magnet.grade else ''}" if mark else ""


def _letter(at: int) -> str:
    """A to Z, then A1 and so on."""
    round_, place = divmod(at, len(ascii_uppercase))
    return ascii_uppercase[place] + (str(round_) if round_ else "")
