"""Arguments and options that several commands take; a command tells all its faulty ones at once, in words."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, TypeVar

import click

from optimizer.jobs.output import OutputFault, check_folder

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
FILE_KINDS = ("brief", "layout", "load", "rig", "motor", "prices")

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


class Command(click.Command):
    """One of ours: each fault as "--option: must be …, was …", on a line of its own."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """What click asks for. Raises UsageError with every fault."""
        try:
            return super().parse_args(ctx, list(args))
        except (click.BadParameter, OutputFault):
            faults = list(self._faults(ctx, list(args)))
        except click.NoSuchOption as unknown:
            near = f"; did you mean {unknown.possibilities[0]}?" if unknown.possibilities else ""
            faults = [f"{unknown.option_name}: unknown option{near}"]
        except click.BadOptionUsage as bad:
            flags = [
                name for option in self.params if getattr(option, "is_flag", False) for name in option.opts
            ]
            must = (
                "must be given without a value" if bad.option_name in flags else "must be followed by a value"
            )
            faults = [f"{bad.option_name}: {must}"]
        raise click.UsageError("\n".join(faults), ctx)

    def _faults(self, ctx: click.Context, args: list[str]) -> Iterator[str]:
        given, rest, _ = self.make_parser(ctx).parse_args(args)
        for param in self.params:
            try:
                param.handle_parse_result(ctx, given, rest)
            except click.MissingParameter:
                yield f"{_name(param)}: must be given, was missing"
            except click.BadParameter as fault:
                yield f"{_name(param)}: {fault.message}"
            except OutputFault as fault:
                yield str(fault)


def _name(param: click.Parameter) -> str:
    """As the command line has it."""
    return param.opts[0] if isinstance(param, click.Option) else param.human_readable_name


class OneOf(click.Choice[str]):
    """One of a few words."""

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The word, or a fault in words."""
        try:
            return super().convert(value, param, ctx)
        except click.BadParameter:
            self.fail(f"must be one of {', '.join(self.choices)}, was {str(value)!r}", param, ctx)
