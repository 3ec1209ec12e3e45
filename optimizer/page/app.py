"""The page's server: static files from memory, and a few questions with one answer each."""

from __future__ import annotations

import json
from collections.abc import AsyncGenerator, AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from dataclasses import asdict
from importlib.resources import files
from typing import Any, TypeAlias

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from optimizer.answers.downloads import FILES, SIMULATION_FILES
from optimizer.answers.forms import forms
from optimizer.answers.refused import Refused
from optimizer.page.guards import Guards, faults_answer, refusal
from optimizer.page.requests import Unserved, flat_in, json_of, keys_of, text_in
from optimizer.page.searches import SearchBusy, Searches
from optimizer.page.start import Start
from optimizer.page.workers import WorkStopped
from optimizer.page.workshop import Workshop

KINDS = {
    "html": "text/html; charset=utf-8",
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "svg": "image/svg+xml",
}
PAPERS = ("A4", "Letter")
SIMULATED = ("design", "load", "rig", "motor")

Answer: TypeAlias = Callable[[Request], Awaitable[Response]]


def page_app(start: Start) -> Guards:
    """The application that serves a page which opens with `start`."""
    workshop = Workshop()
    searches = Searches(workshop)

    @asynccontextmanager
    async def lifespan(app: Starlette) -> AsyncGenerator[None]:
        del app
        workshop.open()
        yield
        workshop.close()

    routes = [
        *_static_routes(),
        Route("/start", _start_of(start)),
        Route("/preview", _asking(workshop, "preview"), methods=["POST"]),
        Route("/curves", _asking(workshop, "curves"), methods=["POST"]),
        Route("/read", _reading(workshop), methods=["POST"]),
        Route("/search", _searching(searches), methods=["POST"]),
        Route("/result", _result(searches), methods=["POST"]),
        Route("/simulate", _simulating(workshop), methods=["POST"]),
        Route("/download_simulated", _downloading_simulated(workshop), methods=["POST"]),
        Route("/download", _downloading(workshop, searches), methods=["POST"]),
    ]
    app = Starlette(routes=routes, lifespan=lifespan, exception_handlers=_HANDLERS)
    app.router.redirect_slashes = False
    return Guards(app)


async def _on_unserved(request: Request, fault: Exception) -> Response:
    del request
    assert isinstance(fault, Unserved)
    return refusal(fault.status, fault.words, fault.key)


async def _on_refused(request: Request, fault: Exception) -> Response:
    del request
    assert isinstance(fault, Refused)
    return faults_answer(422, fault.rows)


async def _on_stopped(request: Request, fault: Exception) -> Response:
    del request
    return refusal(422, str(fault))


async def _on_http(request: Request, fault: Exception) -> Response:
    del request
    assert isinstance(fault, HTTPException)
    words = {404: "there is no such thing here", 405: "this is not asked that way"}
    return refusal(fault.status_code, words.get(fault.status_code, fault.detail))


_HANDLERS: Any = {Unserved: _on_unserved, Refused: _on_refused, WorkStopped: _on_stopped, HTTPException: _on_http}


def _static_routes() -> list[Route]:
    """A route for each file of the page; their contents are read once, here."""
    routes: list[Route] = []
    for file in sorted(files("optimizer.page").joinpath("static").iterdir(), key=lambda f: f.name):
        kind = KINDS.get(file.name.rsplit(".", 1)[-1])
        if kind:
            path = "/" if file.name == "index.html" else f"/{file.name}"
            routes.append(Route(path, _constant(file.read_bytes(), kind)))
    return routes


def _constant(content: bytes, kind: str) -> Answer:
    async def answer(request: Request) -> Response:
        del request
        return Response(content, media_type=kind)

    return answer


def _start_of(start: Start) -> Answer:
    async def answer(request: Request) -> Response:
        del request
        return JSONResponse(asdict(start) | {"forms": forms()})

    return answer


def _asking(workshop: Workshop, task: str) -> Answer:
    async def answer(request: Request) -> Response:
        content = await json_of(request)
        keys_of(content, "design")
        return JSONResponse(await workshop.quick(task, flat_in(content, "design"), request))

    return answer


def _reading(workshop: Workshop) -> Answer:
    async def answer(request: Request) -> Response:
        content = await json_of(request)
        keys_of(content, "text")
        return JSONResponse(await workshop.quick("read", text_in(content, "text"), request))

    return answer


def _searching(searches: Searches) -> Answer:
    async def answer(request: Request) -> Response:
        content = await json_of(request)
        keys_of(content, "brief")
        try:
            lines = await searches.begin(flat_in(content, "brief"))
        except SearchBusy as busy:
            return refusal(409, str(busy))
        return StreamingResponse(_written(lines), media_type="application/x-ndjson")

    return answer


async def _written(lines: AsyncIterator[dict[str, Any]]) -> AsyncIterator[str]:
    async for line in lines:
        yield json.dumps(line) + "\n"


def _result(searches: Searches) -> Answer:
    async def answer(request: Request) -> Response:
        content = await json_of(request)
        keys_of(content, "brief")
        return JSONResponse({"found": searches.shown(flat_in(content, "brief"))})

    return answer


def _simulating(workshop: Workshop) -> Answer:
    async def answer(request: Request) -> Response:
        content = await json_of(request)
        keys_of(content, *SIMULATED)
        asked = {name: flat_in(content, name) for name in SIMULATED}
        return JSONResponse(await workshop.made("simulate", asked, request))

    return answer


def _downloading_simulated(workshop: Workshop) -> Answer:
    async def answer(request: Request) -> Response:
        content = await json_of(request)
        keys_of(content, "name", *SIMULATED)
        name = text_in(content, "name")
        if name not in SIMULATION_FILES:
            raise Unserved(404, "must be one of the files to take, was not", "name")
        simulated = {part: flat_in(content, part) for part in SIMULATED}
        content_bytes = await workshop.made("download_simulated", {"name": name, "simulated": simulated}, request)
        return _attached(name, content_bytes)

    return answer


def _downloading(workshop: Workshop, searches: Searches) -> Answer:
    async def answer(request: Request) -> Response:
        content = await json_of(request)
        keys_of(content, "name", "design", "brief", "paper", "even_so")
        name, brief, paper = text_in(content, "name"), flat_in(content, "brief"), text_in(content, "paper")
        if name not in FILES:
            raise Unserved(404, "must be one of the files to take, was not", "name")
        if paper not in PAPERS:
            raise Unserved(422, "must be A4 or Letter, was not", "paper")
        wanted = {
            "name": name, "design": flat_in(content, "design"), "brief": brief, "paper": paper,
            "even_so": content.get("even_so") is True, "result": searches.result(brief),
        }  # fmt: skip
        content_bytes = await workshop.made("download", wanted, request)
        return _attached(name, content_bytes)

    return answer


def _attached(name: str, content: bytes) -> Response:
    """A file for the browser to save."""
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type="application/octet-stream", headers=headers)
