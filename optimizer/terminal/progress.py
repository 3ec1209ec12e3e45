"""A progress bar on a terminal, nothing in a pipe."""

from __future__ import annotations

import sys
from collections.abc import Callable, Generator
from contextlib import contextmanager


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
