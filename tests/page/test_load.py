"""Many at once, and how fast one is."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from time import perf_counter

import httpx
import pytest
from visiting import Visit

from optimizer.page.app import start_of

START = start_of(None)
CLIENTS, STEPS = 50, 3


async def dragged(address: str) -> list[tuple[int, float]]:
    """Fifty clients that drag a slider each: status of every answer, and the seconds it took."""

    async def one(client: httpx.AsyncClient, number: int) -> list[tuple[int, float]]:
        rows: list[tuple[int, float]] = []
        for step in range(STEPS):
            design = START["design"] | {"carrier.pitch_radius_mm": f"{40 + number / 20 + step / 100:.2f}"}
            begun = perf_counter()
            answer = await client.post("/preview", json={"design": design})
            rows.append((answer.status_code, perf_counter() - begun))
        return rows

    limits = httpx.Limits(max_connections=CLIENTS)
    async with httpx.AsyncClient(base_url=address, timeout=60, limits=limits) as client:
        found = await asyncio.gather(*(one(client, number) for number in range(CLIENTS)))
    return [row for rows in found for row in rows]


@pytest.mark.slow
def test_fifty_drag_at_once(address: str):
    with ThreadPoolExecutor(
        1
    ) as aside:  # a browser of another test may keep a loop of its own in this thread
        rows = aside.submit(asyncio.run, dragged(address)).result()
    assert [status for status, _ in rows] == [200] * (CLIENTS * STEPS)


@pytest.mark.slow
def test_a_hundred_that_say_nothing_hold_nobody_up(address: str):
    idle = [httpx.Client(base_url=address) for _ in range(100)]
    for client in idle:
        client.get("/mark.svg")
    begun = perf_counter()
    assert httpx.post(f"{address}/preview", json={"design": START["design"]}, timeout=60).status_code == 200
    assert perf_counter() - begun < 10  # less than an idle line is kept
    for client in idle:
        client.close()


@pytest.mark.benchmark
def test_latency_of_a_drag(visit: Visit):
    times = sorted(stepped(visit))
    median, worst = times[len(times) // 2], times[-1]
    print(
        f"\nslider to picture, voltage and waveform: median {median:.0f} ms, worst of {len(times)} {worst:.0f} ms"
    )
    assert median < 100


def stepped(visit: Visit) -> Iterator[float]:
    """Milliseconds from each step of a slider until the page shows it."""
    code = """value => new Promise(done => {
        const slider = document.getElementById("c-carrier-pitch_radius_mm-slide"), begun = performance.now();
        slider.value = value;
        slider.dispatchEvent(new Event("input", {bubbles: true}));
        const shown = () => document.body.dataset.shown === "now";
        const watch = () => (shown() ? done(performance.now() - begun) : setTimeout(watch, 1));
        watch();
    })"""
    for step in range(60):
        yield visit.page.evaluate(code, 40 + step / 10)
