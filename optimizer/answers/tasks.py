"""What a worker can be asked to do, by name. Importing this loads the library."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeAlias

from optimizer.answers.downloads import download, download_simulated
from optimizer.answers.page_values import read
from optimizer.answers.preview import curves, preview
from optimizer.answers.search_answer import search
from optimizer.answers.simulation import simulate

Progress: TypeAlias = Callable[[Any], None]
"""Called with whatever is known before a task is done."""
Task: TypeAlias = Callable[[Any, Progress], Any]
"""Takes plain values and gives plain values, or raises `Refused`."""


def _at_once(task: Callable[[Any], Any]) -> Task:
    """A task that says nothing before it is done."""
    return lambda asked, progress: task(asked)


TASKS: dict[str, Task] = {
    **{task.__name__: _at_once(task) for task in (preview, curves, read, simulate, download, download_simulated)},
    "search": search,
}
