"""Pages and texts from templates: the only file that knows jinja2."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from optimizer import wording

FILTERS: tuple[Callable[..., str], ...] = (
    wording.number,
    wording.quantity,
    wording.size_mm,
    wording.percent,
    wording.signed_percent,
    wording.plural,
)


def page(template: str, **values: Any) -> str:
    """A template of the folder `templates` filled in. HTML is escaped; a missing value is an error.

    The wordings of numbers are filters: ``{{ ohms | quantity("Ω") }}``.
    """
    return _environment().get_template(template).render(**values)


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("optimizer"),
        autoescape=lambda name: name is None or name.endswith(".html"),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters.update({filter_.__name__: filter_ for filter_ in FILTERS})
    return environment
