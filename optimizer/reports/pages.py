"""Pages and texts from templates: the only file that knows jinja2."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from optimizer.building import polarity_words
from optimizer.words import wording

FILTERS: tuple[Callable[..., object], ...] = (  # of numbers, of a winding card
    wording.number,
    wording.quantity,
    wording.size_mm,
    wording.percent,
    wording.signed_percent,
    wording.plural,
    polarity_words.polarity_test,
    polarity_words.facing_words,
)
GREATEST_MARGIN = 100  # beyond it a margin's digits mean nothing


def page(template: str, **values: Any) -> str:
    """A template of the folder `templates` filled in. HTML is escaped; a missing value is an error.

    The wordings of numbers are filters: ``{{ ohms | quantity("Ω") }}``.
    """
    return _environment().get_template(template).render(**values)


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
    environment.filters.update({filter_.__name__: filter_ for filter_ in (*FILTERS, margin, md)})
    return environment
