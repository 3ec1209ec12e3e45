"""Speed of long jobs, printed: `python -m pytest -m benchmark -s tests/benchmarks/test_chunks_speed.py`."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from time import perf_counter

import pytest

from optimizer.brief import Brief, StockMagnet, read_brief
from optimizer.chunked_scan import scan_in_units
from optimizer.chunks import Run, run_units, worker_pool
from optimizer.fair import TERMS, fair_comparison

pytestmark = pytest.mark.benchmark
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
    compared = fair_comparison(read_brief(LANTERN), TERMS)
    seconds = perf_counter() - started
    print(
        f"\nfair comparison, three terms: {compared.considered:,} layouts in {seconds:.1f} s on one core ({load()})"
    )
    assert compared.considered > 1e6


def test_two_workers_against_one() -> None:
    brief = stocked(6)
    with worker_pool(2) as executor:
        run_units(abs, [1, 2, 3, 4], Run(executor=executor))  # started
        scan_in_units(stocked(1), Run(executor=executor))  # libraries loaded
        ratios: list[float] = []
        for _ in range(3):
            started = perf_counter()
            one = scan_in_units(brief)
            middle = perf_counter()
            two = scan_in_units(brief, Run(executor=executor))
            ended = perf_counter()
            ratios.append((middle - started) / (ended - middle))
            print(
                f"\n{one.considered:,} layouts: {middle - started:.1f} s here, {ended - middle:.1f} s by two workers"
            )
            assert one == two
    print(
        f"two workers: {max(ratios):.2f} times the speed of one at best of three ({os.cpu_count()} cores, {load()})"
    )


HUNDRED_MILLION = """
import resource, sys
from dataclasses import replace
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from test_chunks_speed import stocked
from optimizer.chunked_scan import scan_in_units
found = scan_in_units(stocked(int(sys.argv[2])))
print(found.considered, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)
"""


def test_a_hundred_million_layouts_in_bounded_memory() -> None:
    command = [sys.executable, "-c", HUNDRED_MILLION, str(Path(__file__).parent), "7"]
    started = perf_counter()
    told = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
    considered, megabytes = map(int, told)
    print(
        f"\n{considered:,} layouts in {perf_counter() - started:.0f} s, most memory {megabytes} MB ({load()})"
    )
    assert considered > 1e8
    assert megabytes < 1024
