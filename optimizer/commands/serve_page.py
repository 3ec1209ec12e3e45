"""polepitch page: the machine on a local page, drawn live."""

from __future__ import annotations

from pathlib import Path

import click

from optimizer.terminal.options import FILE, Command, WholeNumber


@click.command(cls=Command, short_help="Open a local page to see, adjust and search machines.")
@click.argument("file", type=FILE, required=False)
@click.option(
    "--port",
    type=WholeNumber(0, 65535),
    default=0,
    help="Port on this computer.  [default: any that is free]",
)
@click.option("--no-browser", is_flag=True, help="Do not open a browser.")
def page(file: Path | None, port: int, no_browser: bool) -> None:
    """Open a page on which to see a machine, adjust it, search for the best and take the files to build it.

    FILE is a layout or a brief (TOML); without one the page opens with the bundled lantern. Only this computer can
    reach the page. End it with Ctrl-C.
    """
    from optimizer.page.workers import Workshop

    workshop = Workshop()
    try:
        workshop.open()  # they load the library while this process loads the server
        from optimizer.page.app import serve, start_of

        serve(start_of(file), port, click.echo, open_browser=not no_browser, workshop=workshop)
    finally:
        workshop.close()
