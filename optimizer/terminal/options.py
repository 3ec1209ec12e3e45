"""Arguments and options that several commands take, and the numbers that they bound."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from optimizer.jobs.output import check_folder

_Limited = TypeVar("_Limited", int, float)
_Command = TypeVar("_Command", bound=Callable[..., Any])


class _NamedPath(click.Path):
    """A path that is not empty: an empty one would stand for the folder in which one is."""

    def convert(
        self, value: str | os.PathLike[str], param: click.Parameter | None, ctx: click.Context | None
    ) -> str | bytes | os.PathLike[str]:
        if not os.fspath(value):
            self.fail("must be a path, was empty", param, ctx)
        return super().convert(value, param, ctx)


class Number(click.FloatRange):
    """A finite number from `min` to `max`."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The number, or a fault in words."""
        return _within(self, float, "number", value, param, ctx)


class WholeNumber(click.IntRange):
    """A whole number from `min` to `max`."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """The number, or a fault in words."""
        return _within(self, int, "whole number", value, param, ctx)


def _within(
    bounds: click.FloatRange | click.IntRange,
    read: Callable[[Any], _Limited],
    noun: str,
    value: Any,
    param: click.Parameter | None,
    ctx: click.Context | None,
) -> _Limited:
    assert bounds.min is not None
    assert bounds.max is not None
    try:
        number = read(value)
    except ValueError:
        number = None
    if number is None or not bounds.min <= number <= bounds.max:
        bounds.fail(f"must be a {noun} from {bounds.min:g} to {bounds.max:g}, was {value}", param, ctx)
    return number


FILE = _NamedPath(path_type=Path)

json_option = click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")


even_so_option = click.option(
    "--even-so", is_flag=True, help="Also write the parts of a machine that bursts at its own speed."
)


def file_option(flag: str, name: str, words: str) -> Callable[[_Command], _Command]:
    """A file, as a path; `name` of the command's parameter, `words` for its help."""
    return click.option(flag, name, type=FILE, help=words)


def out_option(words: str, *, required: bool = False) -> Callable[[_Command], _Command]:
    """The folder for all files, as `folder`, checked before any work."""
    return click.option("--out", "folder", type=FILE, required=required, callback=_writable, help=words)


def _writable(context: click.Context, option: click.Parameter, folder: Path | None) -> Path | None:
    if folder is not None:
        check_folder(folder)
    return folder
