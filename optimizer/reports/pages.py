"""Pages and texts from templates: the only file that knows jinja2."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from optimizer import words
from optimizer.building import card_words
from optimizer.plots.style import Figure
from optimizer.reports.pictures import pictures, plot_files
from optimizer.words import wording
from optimizer.words.caution_words import said

MODULES: dict[str, Any] = {
    "card_words": card_words,
    **{each.name: import_module(f"{words.__name__}.{each.name}") for each in iter_modules(words.__path__)},
}
"""All words that a template may show, by the name of their module."""
FILTERS = (wording.number, wording.quantity, wording.size_mm, wording.percent, wording.signed_percent)
GREATEST_MARGIN = 100  # beyond it a margin's digits mean nothing


def page(template: str, **values: Any) -> str:
    """A template of the folder `templates` filled in. HTML is escaped; a missing value is an error.

    A template says by name whose words it shows, ``{{ drive_words.headline(run) }}``; the wordings of numbers are
    filters: ``{{ ohms | quantity("Ω") }}``.
    """
    return _environment().get_template(template).render(**values)


def page_files(name: str, figures: Mapping[str, Figure], **values: Any) -> dict[str, bytes]:
    """The page of the template `name`, and the figures that it shows as PNG and SVG, by name."""
    drawn = pictures(figures)
    return {name: page(name, pictures=drawn, **values).encode(), **plot_files(figures, drawn)}


def margin(value: float) -> str:
    """A margin of strength, two digits at most: "3.4", "28", "over 100"."""
    return f"over {GREATEST_MARGIN}" if value > GREATEST_MARGIN else wording.number(value, 2)


def md(text: str) -> str:
    """A text as Markdown shows it literally."""
    return re.sub(r"([\\`*_{}\[\]<>#|])", r"\\\1", text)


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("optimizer.reports"),
        autoescape=lambda name: name is None or name.endswith(".html"),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    filters: dict[str, Any] = {each.__name__: each for each in (*FILTERS, said, margin, md)}
    environment.filters.update(filters)
    environment.globals.update(MODULES)
    return environment
