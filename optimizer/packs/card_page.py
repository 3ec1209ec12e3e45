"""The winding card as a page of its own to print."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from geometry.drawing.primitives import Drawing
from geometry.writers.legend import NOTE_LAYERS
from geometry.writers.svg import svg_text
from optimizer.building.winding_card import WindingCard
from optimizer.reports.pages import page
from optimizer.reports.pictures import svg_uri


def card_html(title: str, drawings: Sequence[Drawing], card: WindingCard) -> str:
    """One HTML file that needs nothing but itself; one or two pages of A4 or Letter when printed."""
    return page(
        "winding_card.html",
        title=title,
        card=card,
        half=ceil(card.layout.coils / 2) if card.sectored else card.layout.coils,
        picture=drawing_uri(drawings[0]),
        other_side=drawing_uri(drawings[1]) if len(drawings) > 1 else "",
    )


def drawing_uri(drawing: Drawing) -> str:
    """A template's drawing without its notes, as a picture in a page."""
    shown = tuple(layer for layer in drawing.layers if layer.name not in NOTE_LAYERS)
    return svg_uri(svg_text(replace(drawing, layers=shown)).encode())
