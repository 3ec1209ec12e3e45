"""Serving the page on the loopback address, until Ctrl-C. The only file that knows uvicorn."""

from __future__ import annotations

import socket
import webbrowser
from collections.abc import Callable
from contextlib import suppress

import uvicorn

from optimizer.jobs.output import OutputFault
from optimizer.page.app import page_app
from optimizer.page.start import Start

LOOPBACK = "127.0.0.1"
LONGEST_HEADERS = 16_384  # bytes


def serve(start: Start, port: int, announce: Callable[[str], None], *, open_browser: bool) -> None:
    """Serve a page that opens with `start` on `port` (0: any free one); `announce` is told its address.

    Raises OutputFault when the port is taken.
    """
    listening = _listening(port)
    address = f"http://{LOOPBACK}:{listening.getsockname()[1]}/"
    config = uvicorn.Config(
        page_app(start), http="h11", ws="none", lifespan="on", log_level="error", access_log=False,
        server_header=False, date_header=False, proxy_headers=False, timeout_keep_alive=15,
        timeout_graceful_shutdown=1, h11_max_incomplete_event_size=LONGEST_HEADERS, backlog=512,
    )  # fmt: skip
    announce(f"{address}  (this computer only; end with Ctrl-C)")
    if open_browser:
        webbrowser.open(address)
    with listening, suppress(KeyboardInterrupt):  # the way to end it
        uvicorn.Server(config).run(sockets=[listening])


def _listening(port: int) -> socket.socket:
    # the protocol is named, or answers would wait for acknowledgements: asyncio sets TCP_NODELAY on named ones alone
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind((LOOPBACK, port))
        found.listen(512)
    except OSError as error:
        found.close()
        raise OutputFault(f"--port: cannot listen on {port}: {error.strerror or error}") from error
    return found
