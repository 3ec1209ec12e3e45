"""The command line. Here faults become words; the commands themselves meet in `commands.polepitch`.

Next to nothing is imported before `main` runs, so that Ctrl-C finds words from the first moment on.
"""

from __future__ import annotations

import sys

TYPE_CHECKING = False  # as typing has it, which takes a while to import
if TYPE_CHECKING:
    from typing import NoReturn

WRONG_INPUT, NOTHING_FITS, INTERRUPTED = 2, 3, 130
COLLECT_AFTER = 50_000  # new objects: hardly anything that is loaded is garbage


def main() -> None:
    """Run the command line; every fault ends in words and an exit code, never in a traceback."""
    try:
        code = _run()
    except KeyboardInterrupt:
        _leave("stopped; no file was left half-written", INTERRUPTED)
    sys.exit(code)


def _run() -> int:
    """The exit code of the command asked for. Raises KeyboardInterrupt for Ctrl-C, at any moment."""
    import gc
    import os

    gc.set_threshold(COLLECT_AFTER)
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # none is looked for among all that is installed

    import click

    from optimizer.commands.polepitch import polepitch

    try:
        code = polepitch.main(standalone_mode=False)  # what a command exits with, or None
    except click.exceptions.Abort as stopped:
        raise KeyboardInterrupt from stopped
    except click.ClickException as error:
        error.show()
        return WRONG_INPUT
    except Exception as error:
        _leave_with(error)
    return code if isinstance(code, int) else 0


def _leave_with(error: Exception) -> NoReturn:
    from geometry.files.reading import FileFaults
    from optimizer.jobs.output import OutputFault
    from optimizer.search.feasibility import NothingFits

    if isinstance(error, FileFaults | OutputFault):
        _leave(str(error), WRONG_INPUT)
    if isinstance(error, OSError):
        _leave(f"cannot write to standard output: {error.strerror or error}", WRONG_INPUT)
    if isinstance(error, NothingFits):
        _leave(str(error), NOTHING_FITS)
    raise error


def _leave(words: str, code: int) -> NoReturn:
    print(words, file=sys.stderr)
    sys.exit(code)
