"""A machine while it is adjusted: its drawing, what does not fit and where, its figures and waveform, its curves."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, replace
from typing import Any

import numpy as np

from geometry.drawing.layout_drawing import arrangement_sentences, draw_layout
from geometry.fit.rules import Violation, violations
from geometry.machine.layout import Layout
from geometry.writers.sheets import NOTE_LAYERS
from geometry.writers.svg import svg_text
from optimizer.answers.page_values import Flat, layout_of
from optimizer.answers.page_violations import (
    MOST_MAGNETS,
    areas,
    no_voltage,
    of_rotor,
    place,
    too_much_to_draw,
)
from optimizer.answers.refusal import Refused
from optimizer.evaluation.chain import Figures, figures_of
from optimizer.field.emf import Waveform, machine_emf, waveform
from optimizer.loads.hazards import layout_hazards
from optimizer.words.caution_words import carrier_cautions, caution_document
from optimizer.words.figure_catalogue import machine_groups

LONG = 60  # characters; a longer remark takes a line of its own
SAMPLES = 180  # of the waveform over one electrical period
PICTURE = ("CARRIER_OUTLINE", "POCKETS", "COIL_OUTLINE")  # how the names of a small picture's layers begin
GAPS = (0.5, 0.75, 1.0, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0)  # of the design's own
SPEEDS = (0.0, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0)
COUNTS_ASIDE = 6  # magnets more or fewer, at most
_CORNERS = (np.pi / 4, -np.pi / 4, 3 * np.pi / 4, -3 * np.pi / 4)  # where there is room for words
PAPER = ' style="background:#fff"'  # the page has its own colours, and its policy forbids inline styles


def preview(design: Flat) -> dict[str, Any]:
    """All that the page shows of a design while it is being adjusted. Raises `Refused` for a design that is none."""
    layout = layout_of(design)
    if words := too_much_to_draw(layout):
        raise Refused(words)
    faults = violations(layout)
    return {
        "svg": drawing_svg(layout),
        "violations": [
            _violation(layout, fault, _CORNERS[at % 4] + 0.4 * (at // 4)) for at, fault in enumerate(faults)
        ],
        "areas": [asdict(area) for area in areas(layout, faults)],
        "count": layout.carrier.count,
        "notes": [*_sides(layout), *arrangement_sentences(layout)],
        **_electrical(layout, fits=not faults),
    }


def _sides(layout: Layout) -> list[str]:
    """What the drawing cannot show of a carrier with a coil on each side."""
    if layout.sides == 1:
        return []
    return [
        "One carrier with a coil on each side; drawn is the near one: seen from behind, N and S change places"
    ]


def drawing_svg(layout: Layout) -> str:
    """The template's drawing without its notes below the disc."""
    return _layers_svg(layout, lambda name: name not in NOTE_LAYERS)


def picture_svg(layout: Layout) -> str:
    """The template's outlines alone, for a small picture."""
    return _layers_svg(layout, lambda name: name.startswith(PICTURE))


def _layers_svg(layout: Layout, shown: Callable[[str], bool]) -> str:
    """The template's layers whose names are `shown`, on the page's own ground."""
    drawing = draw_layout(layout)
    kept = tuple(layer for layer in drawing.layers if shown(layer.name))
    return svg_text(replace(drawing, layers=kept)).replace(PAPER, "", 1)


def _violation(layout: Layout, violation: Violation, toward: float) -> dict[str, Any]:
    spot = place(layout, violation, toward)
    return {
        "key": violation.key,
        "words": violation.message[:1].upper() + violation.message[1:].replace("was -", "was −"),
        "x": round(spot.real * 1e3, 4),
        "y": round(-spot.imag * 1e3, 4),
        "rotor": of_rotor(violation),
    }


def _electrical(layout: Layout, *, fits: bool) -> dict[str, Any]:
    """Figures, waveform and, of a design that fits, what bites."""
    if words := no_voltage(layout):
        return {"cautions": [], "figures": None, "waveform": None, "why": words}
    emf = machine_emf(layout)
    figures = figures_of(emf)
    return {
        "cautions": caution_document(layout_hazards(figures)) if fits else [],
        "figures": figure_rows(figures),
        "waveform": _samples(layout, emf.phases),
        "why": None,
    }


def figure_rows(figures: Figures) -> list[dict[str, Any]]:
    """Name, value and remark of each figure, lengths in inches or feet as well; wide: whether it has a long remark."""
    rows = [row for rows in machine_groups(figures).values() for row in rows]
    shown = [{"name": row.label, "value": row.value, "remark": row.remark, "inch": row.inch} for row in rows]
    shown += [
        {"name": "Caution", "value": caution.title, "remark": caution.text}
        for caution in carrier_cautions(figures)
    ]
    return [row | {"wide": len(row["remark"]) > LONG} for row in shown]


def _samples(layout: Layout, waves: Sequence[Waveform]) -> dict[str, Any]:
    """One period of the first phase, and of all phases by letter; one phase alone has no letter."""
    return {
        "volts": _volts(waves[0]),
        "rms": waves[0].rms,
        "peak": max(emf.peak for emf in waves),
        "phases": [
            {"name": layout.order.letters[phase], "volts": _volts(emf)}
            for phase, emf in enumerate(waves)
            if layout.phases > 1
        ],
    }


def _volts(emf: Waveform) -> list[float]:
    angles = np.linspace(0, 2 * np.pi, SAMPLES + 1)
    return [float(f"{volt:.5g}") for volt in emf.at(angles)]


def curves(design: Flat) -> dict[str, Any]:
    """EMF against speed, air gap and number of magnets, the design as it is but for the one: rows of [x, V rms].

    A number of magnets whose layout does not fit, or has no voltage, is left out.
    """
    layout = layout_of(design)
    if too_much_to_draw(layout) or no_voltage(layout):
        return {"speed": [], "gap": [], "count": []}
    volts = waveform(layout).rms
    gaps = [replace(layout, air_gap=layout.air_gap * share) for share in GAPS]
    return {
        "speed": [_pair(layout.speed_rpm * share, volts * share) for share in SPEEDS],
        "gap": [_pair(each.air_gap * 1e3, waveform(each).rms) for each in gaps if not no_voltage(each)],
        "count": [_pair(each.carrier.count, waveform(each).rms) for each in _counted(layout) if not no_voltage(each)],
    }


def _counted(layout: Layout) -> Iterable[Layout]:
    """The layout with more and with fewer magnets, where it fits."""
    carrier = layout.carrier
    low, high = max(carrier.count - COUNTS_ASIDE, 2), min(carrier.count + COUNTS_ASIDE, MOST_MAGNETS)
    for count in range(low, high + 1, 2):
        try:
            machine = replace(layout, carrier=replace(carrier, count=count))
        except ValueError:  # its coils cannot be connected in this many phases
            continue
        if not violations(machine):
            yield machine


def _pair(x: float, volts: float) -> list[float]:
    return [float(np.round(x, 6)), float(f"{volts:.6g}")]
