"""What a worker can be asked to do, by name. Every task takes plain values and gives plain values or raises `Told`."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, TypeAlias

from geometry.toml_reading import FileFaults

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


def tasks() -> Mapping[str, Task]:
    """All tasks; importing them loads the library, so a worker does it once, before its first."""
    from optimizer.page.curves import curves
    from optimizer.page.look import look
    from optimizer.page.reading import read
    from optimizer.page.seek import seek
    from optimizer.page.take import take
    from optimizer.page.use_files import take_used
    from optimizer.page.uses import use

    return {
        "look": look,
        "curves": curves,
        "read": read,
        "seek": seek,
        "take": take,
        "use": use,
        "take_used": take_used,
    }
