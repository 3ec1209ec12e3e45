"""Who is let in: this computer's own browser, with the page's own requests, of a bounded size."""

from __future__ import annotations

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

NAMES = ("127.0.0.1", "localhost", "[::1]")
LONGEST_PATH, LONGEST_BODY = 200, 100_000  # characters, bytes
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
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
