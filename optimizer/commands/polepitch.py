"""The commands together, as one program."""

from __future__ import annotations

import click

from optimizer.commands.compare import compare
from optimizer.commands.drive import drive
from optimizer.commands.evaluate import evaluate
from optimizer.commands.load import load
from optimizer.commands.new_file import new
from optimizer.commands.optimize import optimize
from optimizer.commands.print_schema import schema
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


for command in (optimize, evaluate, template, sweep, rewind, compare, drive, load, new, schema, page):
    polepitch.add_command(command)
