"""The command line. Each command is a file of its own in `commands`; here they meet, and faults become words."""

from __future__ import annotations

import sys

import click

from optimizer.commands.compare import compare
from optimizer.commands.drive import drive
from optimizer.commands.evaluate import evaluate
from optimizer.commands.load import load
from optimizer.commands.optimize import optimize
from optimizer.commands.page import page
from optimizer.commands.rewind import rewind
from optimizer.commands.sweep import sweep
from optimizer.commands.template import template

WRONG_INPUT, NOTHING_FITS, INTERRUPTED = 2, 3, 130


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="polepitch", message="%(prog)s %(version)s")
def polepitch() -> None:
    """Design a small hand-driven axial-flux generator: disc magnets spun past a flat coil.

    Write a brief (a TOML file of what you have and need), then:

        polepitch optimize brief.toml --out my-generator
    """


polepitch.add_command(optimize)
polepitch.add_command(evaluate)
polepitch.add_command(template)
polepitch.add_command(sweep)
polepitch.add_command(rewind)
polepitch.add_command(compare)
polepitch.add_command(drive)
polepitch.add_command(load)
polepitch.add_command(page)


def main() -> None:
    """Run the command line; every fault ends in words and an exit code, never in a traceback."""
    try:
        code = polepitch.main(standalone_mode=False)  # what a command exits with, or None
    except (click.exceptions.Abort, KeyboardInterrupt):
        _leave("stopped; no file was left half-written", INTERRUPTED)
    except click.ClickException as error:
        error.show()
        sys.exit(WRONG_INPUT)
    except Exception as error:
        _leave_with(error)
    else:
        sys.exit(code if isinstance(code, int) else 0)


def _leave_with(error: Exception) -> None:
    from geometry.toml_reading import FileFaults
    from optimizer.feasibility import NothingFits
    from optimizer.output import OutputFault

    if isinstance(error, FileFaults | OutputFault):
        _leave(str(error), WRONG_INPUT)
    if isinstance(error, OSError):
        _leave(f"cannot write to standard output: {error.strerror or error}", WRONG_INPUT)
    if isinstance(error, NothingFits):
        _leave(str(error), NOTHING_FITS)
    raise error


def _leave(words: str, code: int) -> None:
    click.echo(words, err=True)
    sys.exit(code)
