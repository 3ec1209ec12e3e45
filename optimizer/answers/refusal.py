"""What cannot be done, told to the person: known to all that answers the page, heavy or not."""

from __future__ import annotations

from collections.abc import Sequence


class Refused(Exception):  # noqa: N818 - told to the person, not a failure of ours
    """Something that cannot be done, and why.

    rows: (key, words) of each fault; the key is empty when none is meant, as of the words of one that stands alone.
    status: HTTP's number for it.
    """

    def __init__(self, faults: str | Sequence[tuple[str, str]], status: int = 422) -> None:
        super().__init__(faults)
        self.rows = [("", faults)] if isinstance(faults, str) else list(faults)
        self.status = status
