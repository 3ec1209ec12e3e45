"""What a worker can be asked to do, by name. What does a task is loaded with the first of its kind, or beforehand."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any, TypeAlias

Progress: TypeAlias = Callable[[Any], None]
"""Called with whatever is known before a task is done."""

HOMES = {
    "preview": "preview", "curves": "preview", "read": "page_values", "simulate": "simulation", "download": "downloads",
    "download_simulated": "downloads", "search": "search_answer",
}  # fmt: skip
"""Each task, and the module that does it."""
TOLD = ("search",)
"""Tasks that say something before they are done."""


def loaded(task: str) -> Callable[..., Any]:
    """What does the task of this name."""
    return getattr(import_module(f"optimizer.answers.{HOMES[task]}"), task)


def done(task: str, asked: Any, progress: Progress) -> Any:
    """The answer, in plain values as the question; raises `Refused`."""
    return loaded(task)(asked, progress) if task in TOLD else loaded(task)(asked)
