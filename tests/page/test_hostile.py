"""Requests as no page would send them: every one gets a clear refusal, none a traceback, and the server goes on."""

from __future__ import annotations

import json
import re
import socket
from collections.abc import Iterator
from typing import Any
from urllib.parse import urlsplit

import httpx
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tiers import examples

from optimizer.page.app import start_of

JSON = {"content-type": "application/json"}
START = start_of(None)
POSTS = ("preview", "curves", "read", "search", "result", "simulate", "download", "download_simulated")
FAST = settings(max_examples=examples(300), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])

json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=40),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=20), inner, max_size=4),
    max_leaves=12,
)
odd_texts = st.one_of(
    st.text(max_size=60),
    st.sampled_from(
        [
            "",
            "0",
            "-1",
            "1e308",
            "1e-308",
            "nan",
            "inf",
            "9" * 400,
            "1e999",
            "../../etc/passwd",
            "/dev/zero",
            "\\u0000",
            "\ud800",
            '"; [x]\na = 1',
            "'''",
            "0x10",
            "1_000",
            "+3",
            "00012.50",
            "١٢",
            "true",
            "2026-01-01",
        ]
    ),
    st.floats().map(str),
    st.integers(-10, 10**6).map(str),
)


@pytest.fixture(scope="module")
def client(address: str) -> Iterator[httpx.Client]:
    """Somebody who speaks HTTP."""
    with httpx.Client(base_url=address, timeout=60) as made:
        yield made


def refused(answer: httpx.Response) -> list[dict[str, str]]:
    """The faults of a clear refusal."""
    assert 400 <= answer.status_code < 500, (answer.status_code, answer.text[:300])
    faults = answer.json()["faults"]
    assert faults
    assert all(set(row) == {"key", "words"} and row["words"] for row in faults)
    assert "Traceback" not in answer.text
    assert "could not be worked out" not in answer.text
    return faults


@FAST
@given(path=st.sampled_from(POSTS), body=st.binary(max_size=300))
def test_any_bytes(client: httpx.Client, path: str, body: bytes):
    refused(client.post(f"/{path}", content=body, headers=JSON))


@FAST
@given(path=st.sampled_from(POSTS), content=json_values)
def test_any_json(client: httpx.Client, path: str, content: Any):
    refused(client.post(f"/{path}", content=json.dumps(content), headers=JSON))


@settings(FAST, max_examples=examples(80))
@given(
    key=st.sampled_from([*START["design"], "carrier.magnet.remanence_T", "nothing.such", "a.b.c.d.e.f"]),
    value=odd_texts,
)
def test_any_value_in_a_design(client: httpx.Client, key: str, value: str):
    content = json.dumps({"design": START["design"] | {key: value}})
    answer = client.post("/preview", content=content, headers=JSON)
    if answer.status_code != 200:
        refused(answer)
    else:
        assert answer.json()["svg"].startswith("<svg")
        drawn = re.sub(r"<title>.*?</title>", "", answer.json()["svg"], flags=re.DOTALL)  # titles are free to say nan
        assert "nan" not in drawn


@settings(FAST, max_examples=examples(200))
@given(key=st.text(max_size=40), value=odd_texts)
def test_any_key_in_a_design(client: httpx.Client, key: str, value: str):
    answer = client.post("/preview", content=json.dumps({"design": START["design"] | {key: value}}), headers=JSON)
    if value.strip() and key not in START["design"]:
        refused(answer)


@settings(FAST, max_examples=examples(150))
@given(
    text=st.text(max_size=300)
    | st.sampled_from(["[" * 20_000, "a = " + "[" * 5000, "a.b" * 9000, "x = 1\n" * 9000])
)
def test_any_text_of_a_file(client: httpx.Client, text: str):
    refused(client.post("/read", content=json.dumps({"text": text}), headers=JSON))


numbers = st.one_of(st.floats(0.1, 2000), st.floats(0.1, 60), st.integers(1, 400)).map(lambda n: f"{n:.6g}")


@settings(FAST, max_examples=examples(60))
@given(
    values=st.dictionaries(
        st.sampled_from([k for k in START["design"] if k.endswith(("_mm", "turns", "count"))]), numbers
    )
)
def test_any_machine_is_looked_at_or_refused_soon(client: httpx.Client, values: dict[str, str]):
    answer = client.post("/preview", json={"design": START["design"] | values})
    if answer.status_code != 200:
        words = refused(answer)[0]["words"]
        assert "stopped" not in words
        assert "ended" not in words


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", "127.0.0.1:1", "localhost.evil.example:80", "", "[::1"]
)
def test_other_hosts_are_refused(client: httpx.Client, host: str):
    assert client.get("/", headers={"host": host}).status_code in (400, 421)


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:1"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_other_pages_are_refused(client: httpx.Client, headers: dict[str, str]):
    answer = client.post("/preview", json={"design": START["design"]}, headers=headers)
    assert answer.status_code == 403
    refused(answer)


def test_no_form_of_another_page_can_post(client: httpx.Client):
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", ""):
        assert client.post("/preview", content=b"{}", headers={"content-type": kind}).status_code == 415


def test_sizes_are_bounded(client: httpx.Client):
    assert client.post("/preview", content=b" " * 100_001, headers=JSON).status_code == 413

    def pieces() -> Iterator[bytes]:
        for _ in range(30):
            yield b" " * 10_000

    assert client.post("/preview", content=pieces(), headers=JSON).status_code == 413
    assert client.get("/" + "x" * 300).status_code == 414
    many = {f"carrier.{chr(97 + i // 26)}{chr(97 + i % 26)}": "1" for i in range(450)}
    assert "at most 400 keys" in refused(client.post("/preview", json={"design": many}))[0]["words"]


@pytest.mark.parametrize(
    "path",
    [
        "/../../etc/passwd",
        "/..%2f..%2fetc%2fpasswd",
        "/%2e%2e/app.py",
        "/app.py",
        "/static/index.html",
        "//etc/passwd",
        "/index.html%00",
        "/C:/x",
        "/~root",
        "/main.js/",
        "/main.js/../app.py",
    ],
)
def test_no_path_reaches_the_file_system(address: str, path: str):
    assert raw(
        address, f"GET {path} HTTP/1.1\r\nHost: {urlsplit(address).netloc}\r\nConnection: close\r\n\r\n"
    ).startswith("HTTP/1.1 404")


@pytest.mark.parametrize(
    "name", ["../layout.toml", "/etc/passwd", "carrier.stl/../x", "", "LAYOUT.TOML", "search.zip\0"]
)
def test_only_known_files_are_taken(client: httpx.Client, name: str):
    content = {"name": name, "design": START["design"], "brief": START["brief"], "paper": "A4"}
    assert client.post("/download", json=content).status_code == 404


def test_methods(client: httpx.Client):
    for path in POSTS:
        assert client.get(f"/{path}").status_code == 405
    for method in ("PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"):
        assert client.request(method, "/preview").status_code == 405
    assert client.post("/", json={}).status_code == 405


def raw(address: str, text: str, *, wait: float = 1) -> str:
    """What comes back for bytes on the wire."""
    place = urlsplit(address)
    with socket.create_connection((place.hostname or "", place.port or 0), timeout=wait) as line:
        line.sendall(text.encode("latin-1"))
        said = b""
        try:
            while piece := line.recv(4096):
                said += piece
        except TimeoutError:
            pass
    return said.decode("latin-1")


@pytest.mark.parametrize(
    "text",
    [
        "\r\n\r\n",
        "GET\r\n\r\n",
        "GET / HTTP/9.9\r\n\r\n",
        "\x00" * 50 + "\r\n\r\n",
        "GET / HTTP/1.1\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n",
        "POST /preview HTTP/1.1\r\nContent-Length: -5\r\n\r\n",
        "GET / HTTP/1.1\r\nX: " + "y" * 40_000 + "\r\n\r\n",
        "POST /preview HTTP/1.1\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n",
    ],
    ids=range(9),
)
def test_what_is_not_http(address: str, text: str):
    said = raw(address, text)
    assert said == "" or said.startswith("HTTP/1.1 4")
    assert "Traceback" not in said


def test_every_answer_carries_the_policy(client: httpx.Client):
    for answer in (
        client.get("/"),
        client.get("/nothing"),
        client.get("/", headers={"host": "x"}),
        client.post("/preview", json=[]),
    ):
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert "access-control-allow-origin" not in answer.headers


def test_still_served_after_all_that(client: httpx.Client):
    answer = client.post("/preview", json={"design": START["design"]})
    assert answer.status_code == 200
    assert answer.json()["figures"][0]["name"] == "Voltage"


def test_it_listens_on_loopback_alone(address: str):
    place = urlsplit(address)
    assert place.hostname == "127.0.0.1"
    with pytest.raises(OSError):  # noqa: PT011 - refused or unreachable
        socket.create_connection(("127.0.0.2", place.port or 0), timeout=1).close()
