"""Arguments and options that several commands take."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from optimizer.output import check_folder

_Command = TypeVar("_Command", bound=Callable[..., Any])

FILE = click.Path(path_type=Path)

json_option = click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")


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
