"""Who is let in: this computer's own browser, with the page's own requests, of a bounded size.

What requests hold is read with suspicion: a bounded body, JSON, the keys that are meant and no others.
"""

from __future__ import annotations

import asyncio
import json
from typing import Any

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from geometry.files.values import is_table
from optimizer.answers.refusal import Refused

NAMES = ("127.0.0.1", "localhost", "[::1]")
LONGEST_PATH, LONGEST_BODY = 200, 100_000  # characters, bytes
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
SLOWEST = 10.0  # s, for a body to arrive
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}


def refusal(status: int, *faults: tuple[str, str]) -> JSONResponse:
    """A clear answer to a request that is not served: the key, empty where none is meant, and words of each fault."""
    return JSONResponse({"faults": [{"key": key, "words": words} for key, words in faults]}, status)


class Guards:
    """The outermost application: judges each request before anything else sees it, and signs each answer."""

    def __init__(self, inside: ASGIApp) -> None:
        self._inside = inside

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve, or refuse, one request."""
        if scope["type"] == "lifespan":
            await self._inside(scope, receive, send)
            return

        async def signed(message: Message) -> None:
            if message["type"] == "http.response.start":
                MutableHeaders(scope=message).update(HEADERS)
            await send(message)

        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": 1008})
            return
        answer = _judged(scope)
        await (answer or self._inside)(scope, receive, signed)


def _judged(scope: Scope) -> JSONResponse | None:
    headers = Headers(scope=scope)
    hosts = headers.getlist("host")
    if len(hosts) != 1 or hosts[0].lower() not in _hosts(scope):
        return refusal(421, ("", "this page answers to its own address on this computer alone"))
    if (origin := headers.get("origin")) is not None and origin.lower() != f"http://{hosts[0].lower()}":
        return refusal(403, ("", "requests come from this page alone"))
    if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        return refusal(403, ("", "requests come from this page alone"))
    if len(scope["path"]) > LONGEST_PATH or len(scope["query_string"]) > LONGEST_PATH:
        return refusal(414, ("", "the address is too long"))
    if scope["method"] not in ("GET", "HEAD", "POST"):
        return refusal(405, ("", "the method must be GET, HEAD or POST"))
    return _judged_body(headers) if scope["method"] == "POST" else None


def _judged_body(headers: Headers) -> JSONResponse | None:
    kind = headers.get("content-type", "").split(";")[0].strip().lower()
    if kind != "application/json":
        return refusal(415, ("", "the content must be application/json"))
    length = headers.get("content-length")
    if length is not None and not (length.isascii() and length.isdigit() and len(length) < 10):
        return refusal(400, ("", "the content's length must be a number"))
    if length is not None and int(length) > LONGEST_BODY:
        return refusal(413, ("", f"the content must be at most {LONGEST_BODY} bytes, was {length}"))
    return None


def _hosts(scope: Scope) -> set[str]:
    """The names under which this server is reached: loopback, with its own port."""
    server = scope.get("server")
    port = server[1] if server else None
    return {f"{name}:{port}" for name in NAMES} | (set(NAMES) if port == 80 else set())


async def json_of(request: Request) -> dict[str, Any]:
    """The JSON object in a request's body. Raises `Refused`."""
    try:
        async with asyncio.timeout(SLOWEST):
            body = await _body(request)
    except TimeoutError:
        raise Refused("the content came too slowly", 408) from None
    except ClientDisconnect:
        raise Refused("the content ended early", 400) from None
    try:
        content = json.loads(body.decode(), parse_constant=_no_constant)
    except (ValueError, RecursionError):
        raise Refused("the content must be JSON in UTF-8, was not", 400) from None
    if not is_table(content):
        raise Refused("the content must be a JSON object, was not", 422)
    return content


async def _body(request: Request) -> bytes:
    body = bytearray()
    async for piece in request.stream():
        body += piece
        if len(body) > LONGEST_BODY:
            raise Refused(f"the content must be at most {LONGEST_BODY} bytes, was more", 413)
    return bytes(body)


def _no_constant(name: str) -> float:
    raise ValueError(name)


def keys_of(content: dict[str, Any], *names: str) -> None:
    """Raise `Refused` unless the content holds nothing but `names`."""
    if extra := sorted(set(content) - set(names)):
        raise Refused([(extra[0][:60], f"must be one of {', '.join(names)}, was not")], 422)


def flat_in(content: dict[str, Any], name: str) -> dict[str, str]:
    """Flat values under `name`. Raises `Refused`."""
    found = content.get(name)
    if not is_table(found) or not all(isinstance(value, str) for value in found.values()):
        raise Refused([(name, "must be an object of texts, was not")], 422)
    return found


def text_in(content: dict[str, Any], name: str) -> str:
    """The text under `name`, in characters that can be written. Raises `Refused`."""
    found = content.get(name)
    if not isinstance(found, str):
        raise Refused([(name, "must be a text, was not")], 422)
    try:
        found.encode()
    except UnicodeEncodeError:
        raise Refused([(name, "must be a text in UTF-8, was not")], 422) from None
    return found
