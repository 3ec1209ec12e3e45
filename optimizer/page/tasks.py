"""What a worker can be asked to do, by name. Importing this loads the library."""

from __future__ import annotations

from collections.abc import Mapping

from optimizer.page.curves import curves
from optimizer.page.look import look
from optimizer.page.reading import read
from optimizer.page.seek import seek
from optimizer.page.take import take
from optimizer.page.task import Task
from optimizer.page.use_files import take_used
from optimizer.page.uses import use

TASKS: Mapping[str, Task] = {
    "look": look,
    "curves": curves,
    "read": read,
    "seek": seek,
    "take": take,
    "use": use,
    "take_used": take_used,
}
