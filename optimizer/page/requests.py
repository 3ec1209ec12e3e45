"""What requests hold, read with suspicion: a bounded body, JSON, the keys that are meant and no others."""

from __future__ import annotations

import asyncio
import json
from typing import Any

from starlette.requests import ClientDisconnect, Request

from geometry.files.values import is_table
from optimizer.page.guards import LONGEST_BODY

SLOWEST = 10.0  # s, for a body to arrive


class Unserved(Exception):  # noqa: N818 - told to whoever asked
    """A request that cannot be served: its status and the words."""

    def __init__(self, status: int, words: str, key: str = "") -> None:
        super().__init__(words)
        self.status, self.words, self.key = status, words, key


async def json_of(request: Request) -> dict[str, Any]:
    """The JSON object in a request's body. Raises `Unserved`."""
    try:
        async with asyncio.timeout(SLOWEST):
            body = await _body(request)
    except TimeoutError:
        raise Unserved(408, "the content came too slowly") from None
    except ClientDisconnect:
        raise Unserved(400, "the content ended early") from None
    try:
        content = json.loads(body.decode(), parse_constant=_no_constant)
    except (ValueError, RecursionError):
        raise Unserved(400, "the content must be JSON in UTF-8, was not") from None
    if not is_table(content):
        raise Unserved(422, "the content must be a JSON object, was not")
    return content


async def _body(request: Request) -> bytes:
    body = bytearray()
    async for piece in request.stream():
        body += piece
        if len(body) > LONGEST_BODY:
            raise Unserved(413, f"the content must be at most {LONGEST_BODY} bytes, was more")
    return bytes(body)


def _no_constant(name: str) -> float:
    raise ValueError(name)


def keys_of(content: dict[str, Any], *names: str) -> None:
    """Raise `Unserved` unless the content holds nothing but `names`."""
    if extra := sorted(set(content) - set(names)):
        raise Unserved(422, f"must be one of {', '.join(names)}, was not", extra[0][:60])


def flat_in(content: dict[str, Any], name: str) -> dict[str, str]:
    """Flat values under `name`. Raises `Unserved`."""
    found = content.get(name)
    if not is_table(found) or not all(isinstance(value, str) for value in found.values()):
        raise Unserved(422, "must be an object of texts, was not", name)
    return found


def text_in(content: dict[str, Any], name: str) -> str:
    """The text under `name`, in characters that can be written. Raises `Unserved`."""
    found = content.get(name)
    if not isinstance(found, str):
        raise Unserved(422, "must be a text, was not", name)
    try:
        found.encode()
    except UnicodeEncodeError:
        raise Unserved(422, "must be a text in UTF-8, was not", name) from None
    return found
