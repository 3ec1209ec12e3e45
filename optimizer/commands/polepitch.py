"""The commands together, as one program."""

from __future__ import annotations

from importlib import import_module

import click

COMMANDS = {
    "optimize": "optimize", "evaluate": "evaluate", "template": "template", "sweep": "sweep", "rewind": "rewind",
    "compare": "compare", "drive": "drive", "load": "load", "new": "new_file", "schema": "print_schema",
    "page": "serve_page",
}  # fmt: skip
"""What each is called, and its file."""


class _Commands(click.Group):
    """The commands, each of whose files is loaded when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All names."""
        return sorted(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """One by its name."""
        if cmd_name not in COMMANDS:
            return None
        return getattr(import_module(f"optimizer.commands.{COMMANDS[cmd_name]}"), cmd_name)


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="polepitch", message="%(prog)s %(version)s")
def polepitch() -> None:
    """Design a small hand-driven axial-flux generator: disc magnets spun past a flat coil.

    Write a brief (a TOML file of what you have and need), then:

        polepitch optimize brief.toml --out my-generator
    """
