"""Speed of long jobs, printed: `python -m pytest -m benchmark -s tests/benchmarks/test_chunks_speed.py`."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from time import perf_counter, process_time

import pytest

from optimizer.brief.brief import Brief, StockMagnet, read_brief
from optimizer.jobs.chunks import Run, run_units, worker_pool
from optimizer.scan.scan import ScanUnit, scan_unit, scan_units
from optimizer.surveys.like_for_like import TERMS, compare_like_for_like

pytestmark = pytest.mark.benchmark
PLACES = [str(place) for place in Path(__file__).parents[:2]]
LANTERN = Path(__file__).parents[2] / "studies" / "lantern" / "brief.toml"


def stocked(kinds: int) -> Brief:
    """The lantern's brief with so many kinds of magnet."""
    brief = read_brief(LANTERN)
    magnets = [replace(brief.magnets[0].magnet, thickness=(2 + k / 8) * 1e-3) for k in range(kinds)]
    return replace(brief, magnets=tuple(StockMagnet(magnet=magnet, quantity=16) for magnet in magnets))


def load() -> str:
    return "load " + " ".join(f"{one:.1f}" for one in os.getloadavg())


def test_topology_comparison_takes_seconds() -> None:
    started = perf_counter()
    compared = compare_like_for_like(read_brief(LANTERN), TERMS)
    seconds = perf_counter() - started
    print(
        f"\nfair comparison, three terms: {compared.considered:,} layouts in {seconds:.1f} s on one core ({load()})"
    )
    assert compared.considered > 1e6


def timed(unit: ScanUnit) -> tuple[int, float, int]:
    """Which process ran a unit, in what processor time, and how many layouts it considered."""
    started = process_time()
    considered = scan_unit(unit).considered
    return os.getpid(), process_time() - started, considered


def test_two_workers_against_one() -> None:
    """By the clock, which others on the machine disturb, and by processor time, which they hardly do."""
    units = scan_units(stocked(4))
    with worker_pool(2) as executor:
        run_units(timed, units[:4], Run(executor=executor))  # libraries loaded
        clock: list[float] = []
        processor: list[float] = []
        for _ in range(2):
            started = perf_counter()
            here = run_units(timed, units)
            middle = perf_counter()
            there = run_units(timed, units, Run(executor=executor))
            clock.append((middle - started) / (perf_counter() - middle))
            busy = [sum(s for pid, s, _ in there if pid == own) for own in {pid for pid, _, _ in there}]
            processor.append(sum(s for _, s, _ in here) / max(busy))
        assert [considered for _, _, considered in here] == [considered for _, _, considered in there]
        assert len(busy) == 2
    print(
        f"\ntwo workers on {sum(n for _, _, n in here):,} layouts: {max(clock):.2f} times the speed by the clock,"
    )
    print(f"{max(processor):.2f} by processor time, at best of two ({os.cpu_count()} cores, {load()})")


HUNDRED_MILLION = """
import sys
from dataclasses import replace
from pathlib import Path
sys.path[:0] = sys.argv[1:3]
from peak_memory import peak_kilobytes
from test_chunks_speed import stocked
from optimizer.scan.scan import scan
found = scan(stocked(int(sys.argv[3])))
print(found.considered, peak_kilobytes() // 1024)
"""


def test_a_hundred_million_layouts_in_bounded_memory() -> None:
    command = [sys.executable, "-c", HUNDRED_MILLION, *PLACES, "7"]
    started = perf_counter()
    told = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
    considered, megabytes = map(int, told)
    print(
        f"\n{considered:,} layouts in {perf_counter() - started:.0f} s, most memory {megabytes} MB ({load()})"
    )
    assert considered > 1e8
    assert megabytes < 1024
