"""The commands together, as one program."""

from __future__ import annotations

import click

from optimizer.commands.compare import compare
from optimizer.commands.drive import drive
from optimizer.commands.evaluate import evaluate
from optimizer.commands.load import load
from optimizer.commands.optimize import optimize
from optimizer.commands.rewind import rewind
from optimizer.commands.serve_page import page
from optimizer.commands.sweep import sweep
from optimizer.commands.template import template


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
