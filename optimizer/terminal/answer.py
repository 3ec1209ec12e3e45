"""How a command answers: files into a folder, then one JSON object or lines for people; progress on the way."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Collection, Generator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from optimizer.jobs.output import write_folder


def answer(document: Mapping[str, Any], lines: Sequence[str], as_json: bool) -> None:
    """Print `document` as one JSON object, or `lines`."""
    click.echo(json.dumps(document, ensure_ascii=False) if as_json else "\n".join(lines))


def written(folder: Path, files: Mapping[str, bytes]) -> list[str]:
    """Write files into their folder; lines that say so."""
    write_own(folder, files)
    return ["", wrote(folder, files)]


def write_own(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files into a folder that is about nothing else, all or none of them. Raises OutputFault."""
    from optimizer.terminal.subjects import require_own

    write_folder(folder, require_own(folder, files))


def wrote(folder: Path, names: Collection[str]) -> str:
    """What was written, in words."""
    return f"wrote {len(names)} files to {folder}: {', '.join(names)}"


@contextmanager
def shown_progress() -> Generator[Callable[[str, float], None]]:
    """A function that takes what is being done and the share done, and shows it on standard error."""
    if not sys.stderr.isatty():
        yield lambda stage, share: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    columns = (TextColumn("{task.description:<32}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("Reading the brief", total=1.0)
        yield lambda stage, share: bar.update(task, description=stage, completed=share)
