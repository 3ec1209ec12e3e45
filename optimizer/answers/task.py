"""What a task of the page is: it takes plain values and gives plain values or raises `Told`."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeAlias

from geometry.files.reading import FileFaults

Tell: TypeAlias = Callable[[Any], None]
"""Called with whatever is known before the task is done."""
Task: TypeAlias = Callable[[Any, Tell], Any]


class Told(Exception):  # noqa: N818 - told to the person, not a failure of ours
    """Something that cannot be done. rows: (key, words) each; the key is empty when none is meant."""

    def __init__(self, rows: list[tuple[str, str]]) -> None:
        super().__init__(rows)
        self.rows = rows


def told_of_faults(faults: FileFaults) -> Told:
    """The faults of a file as the page shows them: with the keys of flat values."""
    return Told([(fault.key.replace("[", ".").replace("]", ""), fault.message) for fault in faults.faults])
