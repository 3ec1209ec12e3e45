"""Pages and texts from templates, and pictures as they take them: the only file that knows jinja2."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from typing import Any, NamedTuple

from jinja2 import Environment, PackageLoader, StrictUndefined

from geometry.stock import wire_words
from optimizer import words
from optimizer.building import card_words
from optimizer.words import wording
from optimizer.words.caution_words import said

MODULES: dict[str, Any] = {
    "card_words": card_words,
    "wire_words": wire_words,
    **{each.name: import_module(f"{words.__name__}.{each.name}") for each in iter_modules(words.__path__)},
}
"""All words that a template may show, by the name of their module."""
FILTERS = (wording.number, wording.quantity, wording.size_mm, wording.percent, wording.signed_percent)
GREATEST_MARGIN = 100  # beyond it a margin's digits mean nothing


class Picture(NamedTuple):
    """A figure drawn once, for a page and for files: its SVG, what it shows in words, its PNG where files need it."""

    svg: bytes
    alt: str
    png: bytes = b""

    @property
    def uri(self) -> str:
        """The source of a picture in a page that needs nothing but itself."""
        return svg_uri(self.svg)


def plot_files(drawn: Mapping[str, Picture]) -> dict[str, bytes]:
    """The PNG and SVG of pictures that have both, by the names of files."""
    return {
        f"{name}.{kind}": content
        for name, each in drawn.items()
        for kind, content in (("png", each.png), ("svg", each.svg))
    }


def svg_uri(svg: bytes) -> str:
    """An SVG as the source of a picture."""
    return "data:image/svg+xml;base64," + b64encode(svg).decode("ascii")


def page(template: str, **values: Any) -> str:
    """A template of the folder `templates` filled in. HTML is escaped; a missing value is an error.

    A template says by name whose words it shows, ``{{ drive_words.headline(run) }}``; the wordings of numbers are
    filters: ``{{ ohms | quantity("Ω") }}``.
    """
    return _environment().get_template(template).render(**values)


def margin(value: float) -> str:
    """A margin of strength, a ratio, in two digits at most: "3.4", "28", "over 100"."""
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
