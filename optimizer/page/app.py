"""The page's server on the loopback address: static files from memory, and a few questions with one answer each."""

from __future__ import annotations

import json
import os
import socket
import webbrowser
from collections.abc import AsyncGenerator, Awaitable, Callable, Container
from contextlib import asynccontextmanager, suppress
from importlib.resources import files
from typing import Any, TypeAlias

import uvicorn
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from geometry.files.reading import read_text
from geometry.machine.layout_file import layout_from_text
from optimizer.answers.file_names import FILE_NAMES, SIMULATION_FILE_NAMES
from optimizer.answers.forms import forms
from optimizer.answers.page_values import flat_brief, flat_layout, flat_of_text, is_layout
from optimizer.answers.refusal import Refused
from optimizer.brief.brief import brief_from_text
from optimizer.jobs.output import OutputFault
from optimizer.page.guards import Guards, flat_in, json_of, keys_of, refusal, text_in
from optimizer.page.workers import Searches, Workshop
from optimizer.starters.file_kinds import example_text

Start: TypeAlias = dict[str, dict[str, str]]
"""Flat values of a design, a brief, a rig and a motor, by these names."""


def start_of(path: str | os.PathLike[str] | None) -> Start:
    """What to open with: the file at `path`, beside the examples of what it does not hold. Raises FileFaults."""
    start = {
        "design": flat_layout(layout_from_text(example_text("layout"), "layout")),
        "brief": flat_brief(brief_from_text(example_text("brief"), "brief")),
        "rig": flat_of_text(example_text("rig")),
        "motor": flat_of_text(example_text("motor")),
    }
    if path is None:
        return start
    text, name = read_text(path), os.fspath(path)
    if is_layout(text):
        return start | {"design": flat_layout(layout_from_text(text, name))}
    return start | {"brief": flat_brief(brief_from_text(text, name))}


KINDS = {
    "html": "text/html; charset=utf-8",
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "svg": "image/svg+xml",
}
PAPERS = ("A4", "Letter")
SIMULATED = ("design", "load", "rig", "motor")

Content: TypeAlias = dict[str, Any]
Answer: TypeAlias = Callable[[Content, Request], Awaitable[Response]]


def page_app(start: Start, workshop: Workshop | None = None) -> Guards:
    """The application that serves a page which opens with `start`; workshop: open already, or to be made."""
    answers = _Answers(workshop or Workshop())

    @asynccontextmanager
    async def lifespan(app: Starlette) -> AsyncGenerator[None]:
        del app
        answers.workshop.open()
        yield
        answers.workshop.close()

    async def opening(request: Request) -> Response:
        del request
        return JSONResponse(start | {"forms": forms()})

    routes = [
        *_static_routes(),
        Route("/start", opening),
        _question("/preview", answers.quick("preview", "design", flat_in), "design"),
        _question("/curves", answers.quick("curves", "design", flat_in), "design"),
        _question("/read", answers.quick("read", "text", text_in), "text"),
        _question("/search", answers.search, "brief"),
        _question("/result", answers.result, "brief"),
        _question("/simulate", answers.simulate, *SIMULATED),
        _question("/download_simulated", answers.download_simulated, "name", *SIMULATED),
        _question("/download", answers.download, "name", "design", "brief", "paper", "even_so"),
    ]
    app = Starlette(routes=routes, lifespan=lifespan, exception_handlers=_HANDLERS)
    app.router.redirect_slashes = False
    return Guards(app)


async def _on_refused(request: Request, fault: Exception) -> Response:
    del request
    assert isinstance(fault, Refused)
    return refusal(fault.status, *fault.rows)


async def _on_http(request: Request, fault: Exception) -> Response:
    del request
    assert isinstance(fault, HTTPException)
    words = {404: "there is no such thing here", 405: "this is not asked that way"}
    return refusal(fault.status_code, ("", words.get(fault.status_code, fault.detail)))


_HANDLERS: Any = {Refused: _on_refused, HTTPException: _on_http}


def _static_routes() -> list[Route]:
    """A route for each file of the page; their contents are read once, here."""
    routes: list[Route] = []
    for file in sorted(files("optimizer.page").joinpath("static").iterdir(), key=lambda f: f.name):
        kind = KINDS.get(file.name.rsplit(".", 1)[-1])
        if kind:
            path = "/" if file.name == "index.html" else f"/{file.name}"
            routes.append(Route(path, _constant(file.read_bytes(), kind)))
    return routes


def _constant(content: bytes, kind: str) -> Callable[[Request], Awaitable[Response]]:
    async def answer(request: Request) -> Response:
        del request
        return Response(content, media_type=kind)

    return answer


def _question(path: str, answer: Answer, *keys: str) -> Route:
    """What is asked by a JSON object of these keys and no others."""

    async def endpoint(request: Request) -> Response:
        content = await json_of(request)
        keys_of(content, *keys)
        return await answer(content, request)

    return Route(path, endpoint, methods=["POST"])


class _Answers:
    """What the page answers to each question."""

    def __init__(self, workshop: Workshop) -> None:
        self.workshop = workshop
        self._searches = Searches(workshop)

    def quick(self, task: str, key: str, value_in: Callable[[Content, str], Any]) -> Answer:
        """The answer of a quick task to the one value that is asked with, under `key`."""

        async def answer(content: Content, request: Request) -> Response:
            return JSONResponse(await self.workshop.quick(task, value_in(content, key), request))

        return answer

    async def search(self, content: Content, request: Request) -> Response:
        del request
        lines = await self._searches.begin(flat_in(content, "brief"))
        return StreamingResponse((json.dumps(line) + "\n" async for line in lines), media_type="application/x-ndjson")

    async def result(self, content: Content, request: Request) -> Response:
        del request
        return JSONResponse({"found": self._searches.kept(flat_in(content, "brief")).get("found")})

    async def simulate(self, content: Content, request: Request) -> Response:
        return JSONResponse(await self.workshop.made("simulate", _simulated(content), request))

    async def download_simulated(self, content: Content, request: Request) -> Response:
        name = _file_in(content, SIMULATION_FILE_NAMES)
        wanted = {"name": name, "simulated": _simulated(content)}
        return _attached(name, await self.workshop.made("download_simulated", wanted, request))

    async def download(self, content: Content, request: Request) -> Response:
        name, brief, paper = _file_in(content, FILE_NAMES), flat_in(content, "brief"), text_in(content, "paper")
        if paper not in PAPERS:
            raise Refused([("paper", "must be A4 or Letter, was not")], 422)
        wanted = {
            "name": name, "design": flat_in(content, "design"), "brief": brief, "paper": paper,
            "even_so": content.get("even_so") is True, "result": self._searches.kept(brief).get("result"),
        }  # fmt: skip
        return _attached(name, await self.workshop.made("download", wanted, request))


def _simulated(content: Content) -> dict[str, dict[str, str]]:
    return {part: flat_in(content, part) for part in SIMULATED}


def _file_in(content: Content, known: Container[str]) -> str:
    name = text_in(content, "name")
    if name not in known:
        raise Refused([("name", "must be one of the files to take, was not")], 404)
    return name


def _attached(name: str, content: bytes) -> Response:
    """A file for the browser to save."""
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type="application/octet-stream", headers=headers)


LOOPBACK = "127.0.0.1"
LONGEST_HEADERS = 16_384  # bytes


def serve(
    start: Start, port: int, announce: Callable[[str], None], *, open_browser: bool, workshop: Workshop | None = None
) -> None:
    """Serve a page that opens with `start` on `port` (0: any free one); `announce` is told its address.

    workshop: whose processes are starting already, or None. Raises OutputFault when the port is taken.
    """
    listening = _listening(port)
    address = f"http://{LOOPBACK}:{listening.getsockname()[1]}/"
    config = uvicorn.Config(
        page_app(start, workshop), http="h11", ws="none", lifespan="on", log_level="error", access_log=False,
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
