"""All files of a rewinding: page, JSON, table, plots."""

from __future__ import annotations

from collections.abc import Mapping

from optimizer.cautions import TOUCH_LIMIT, Caution
from optimizer.documents import csv_bytes, json_bytes
from optimizer.motor import OUTPUTS
from optimizer.pages import page
from optimizer.pictures import pictures, plot_files
from optimizer.plots.rewind_plots import rewind_figures
from optimizer.plots.style import Figure
from optimizer.rewind import Option, RewindBrief
from optimizer.rewind_words import as_found, headline, notes, option_document, rewind_document, taps
from optimizer.wording import SPACE, number, quantity

OVERSPEED = 5  # times the speed, which an unloaded shaft or a drill may reach


def rewind_files(brief: RewindBrief, options: tuple[Option, ...], chosen: Option) -> dict[str, bytes]:
    """Name to bytes: `rewind.json`, `sweep.csv`, `rewind.html`, plots as PNG and SVG."""
    figures = rewind_figures(brief, options, chosen)
    return {
        "rewind.json": json_bytes(rewind_document(brief, options, chosen)),
        "sweep.csv": csv_bytes([option_document(option) for option in options]),
        "rewind.html": rewind_html(brief, options, chosen, figures).encode(),
        **plot_files(figures),
    }


def rewind_html(
    brief: RewindBrief, options: tuple[Option, ...], chosen: Option, figures: Mapping[str, Figure]
) -> str:
    """The page: one HTML file that needs nothing but itself."""
    return page(
        "rewind.html",
        title=brief.motor.title,
        headline=headline(brief, chosen),
        found=as_found(brief),
        options=options,
        chosen=chosen,
        has_load=chosen.load_watts is not None,
        taps=[(tap, OUTPUTS[tap.output]) for tap in taps(brief, chosen)],
        notes=notes(brief, chosen),
        pictures=pictures(figures),
        cautions=motor_cautions(chosen, brief.turning.relative_rpm),
    )


def motor_cautions(chosen: Option, rpm: float) -> tuple[Caution, ...]:
    """What can hurt people or things with a rewound motor at `rpm`."""
    fast = OVERSPEED * chosen.volts
    limit = (
        rpm
        * TOUCH_LIMIT
        / max(chosen.volts * (2**0.5 if chosen.rewound.output in ("star", "delta") else 1), 1e-9)
    )
    return (
        Caution(
            "Many turns make high voltages",
            f"The output reaches {number(TOUCH_LIMIT)}{SPACE}V peak, a common limit for bare parts that "
            f"may be touched, at {number(limit)}{SPACE}rpm; at {OVERSPEED} times this speed it gives "
            f"{quantity(fast, 'V')}. Insulate the ends.",
        ),
        Caution(
            "Windings get hot",
            f"Shorted, the winding turns up to {quantity(chosen.volts**2 / chosen.ohms, 'W')} into heat "
            "at this speed.",
        ),
        Caution(
            "Spinning parts catch and throw",
            "Guard gears and whatever turns against fingers, hair and sleeves (ISO 14120, ISO 12100), "
            "and hold the part that stands still.",
        ),
        Caution(
            "Cells need a regulator",
            "Never join a generator to a battery directly: use a charge controller made for the cell, "
            "and a fuse beside it.",
        ),
        Caution(
            "Rules where you are",
            "This is a calculation, not an approval. Local codes and the advice of licensed practice "
            "come first.",
        ),
    )
