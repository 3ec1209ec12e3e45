"""The textbook layout beside the winner: promised, given, and what the search found."""

# pyright: reportUnknownMemberType=false
# matplotlib's stubs leave the types of its plotting options unknown

from __future__ import annotations

from optimizer.evaluation.figures_document import significant
from optimizer.plots.palette import BLACK, ORANGE, SKY
from optimizer.plots.style import Axes, set_finding, value_label
from optimizer.search.result import Entry, Textbook
from optimizer.words.wording import compared, quantity


def textbook_plot(book: Textbook, best: Entry, axes: Axes) -> Axes:
    """EMF in V rms: the sizing equation's promise, the textbook layout's own, the winner's."""
    given, found = significant(book.entry.figures.emf_rms_V), significant(best.figures.emf_rms_V)
    ours, its = best.layout.carrier, book.entry.layout.carrier
    other = ours.magnet != its.magnet
    bars = (
        ("sizing equation promises\n(textbook layout)", book.sizing_equation_V, "white", "///"),
        ("textbook layout\nreally gives", given, SKY, ""),
        ("the search's\nlayout gives", found, ORANGE, "xx"),
    )
    for position, (_, volts, color, hatch) in enumerate(bars):
        axes.bar(position, volts, width=0.6, color=color, edgecolor=BLACK, hatch=hatch)
        value_label(axes, position, volts, quantity(volts, "V"), fontsize=9.5)
    magnets = (f"\n{each.count} × {each.magnet.label}" if other else "" for each in (its, its, ours))
    axes.set_xticks(range(len(bars)), [name + words for (name, *_), words in zip(bars, magnets, strict=True)])
    axes.set(ylabel="EMF, V rms")
    axes.set_ylim(0, max(volts for _, volts, *_ in bars) * 1.15)
    axes.grid(axis="x", visible=False)
    set_finding(
        axes,
        "The textbook layout gives"
        f" {compared(given, book.sizing_equation_V, 'EMF', 'its equation promises')}; the search's layout"
        f" gives {compared(found, given, 'EMF', 'the textbook layout')}",
    )
    return axes
