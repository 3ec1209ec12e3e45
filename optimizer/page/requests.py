"""What requests hold, read with suspicion: a bounded body, JSON, the keys that are meant and no others."""

from __future__ import annotations

import asyncio
import json
from typing import Any

from starlette.requests import ClientDisconnect, Request

from geometry.files.values import is_table
from optimizer.answers.refused import Refused
from optimizer.page.guards import LONGEST_BODY

SLOWEST = 10.0  # s, for a body to arrive


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
