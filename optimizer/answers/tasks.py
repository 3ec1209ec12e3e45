"""What a worker can be asked to do, by name. Importing this loads the library."""

from __future__ import annotations

from collections.abc import Mapping

from optimizer.answers.download import take
from optimizer.answers.field_curves import curves
from optimizer.answers.page_values import read
from optimizer.answers.preview import look
from optimizer.answers.seek import seek
from optimizer.answers.simulation import use
from optimizer.answers.simulation_files import take_used
from optimizer.answers.task import Task

TASKS: Mapping[str, Task] = {
    "look": look,
    "curves": curves,
    "read": read,
    "seek": seek,
    "take": take,
    "use": use,
    "take_used": take_used,
}
