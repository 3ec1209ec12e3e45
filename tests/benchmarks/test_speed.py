"""Speed, printed: `python -m pytest -m benchmark -s`. Ratios of one run; the printed times depend on the machine."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from time import perf_counter

import magpylib
import numpy as np
import pytest
from layouts import lantern_layout

from geometry.machine.filaments import filaments_document
from geometry.machine.layout import Layout
from geometry.stock.magnet import DiscMagnet
from geometry.stock.wire import USUAL_MM, Wire
from optimizer.brief.brief import Brief, StockMagnet, read_brief
from optimizer.evaluation.chain import evaluate
from optimizer.scan.scan import scan
from optimizer.search.search import optimize
from optimizer.surveys.sweeps import Axis, sweep

pytestmark = pytest.mark.benchmark
LANTERN, GROWTH = Path(__file__).parents[2] / "studies" / "lantern" / "brief.toml", Path(__file__).parent / "growth"


@pytest.fixture(scope="module")
def brief() -> Brief:
    return read_brief(LANTERN)


def best_time(action: Callable[[], object], repeats: int) -> float:
    """Shortest of several timings, s."""
    times: list[float] = []
    for _ in range(repeats):
        started = perf_counter()
        action()
        times.append(perf_counter() - started)
    return min(times)


def direct_integration(layout: Layout) -> float:
    """RMS EMF by magpylib along every filament at 16 rotor angles: what one layout costs without the model."""
    document = filaments_document(layout)
    filaments = [np.array(points) * 1e-3 for phase in document["phases"] for points in phase]
    middles = np.concatenate([(points + np.roll(points, -1, axis=0)) / 2 for points in filaments])
    squares = [np.hypot(points[:, 0], points[:, 1]) ** 2 for points in filaments]
    cuts = np.concatenate([(np.roll(square, -1) - square) / 2 for square in squares])
    magnets = magpylib.Collection()
    for row in document["magnets"]:
        size = (row["diameter_mm"] * 1e-3, row["thickness_mm"] * 1e-3)
        polarization = (0, 0, row["polarity"] * row["polarization_T"])
        position = np.array(row["center_mm"]) * 1e-3
        magnets.add(magpylib.magnet.Cylinder(polarization=polarization, dimension=size, position=position))
    speed, pairs = layout.speed_rpm * 2 * np.pi / 60, layout.carrier.pole_pairs
    volts: list[float] = []
    for angle in np.arange(16) / 16 * 360 / pairs:
        magnets.orientation = None
        turned = magnets.copy().rotate_from_angax(angle, "z", anchor=(0, 0, 0))
        volts.append(speed * float(turned.getB(middles)[:, 2] @ cuts))
    return float(np.sqrt(np.mean(np.square(volts))))


def test_scan_rate_against_direct_integration(brief: Brief) -> None:
    scan(brief)
    counted = scan(brief).considered
    seconds = best_time(lambda: scan(brief), 3)
    layout = lantern_layout("wedge")
    started = perf_counter()
    volts = direct_integration(layout)
    direct = perf_counter() - started
    rate, ratio = counted / seconds, counted / seconds * direct
    print(f"\nscan: {counted:,} layouts in {seconds:.2f} s, {rate / 1e6:.1f} million a second on one core")
    print(f"direct magpylib integration: {direct:.2f} s a layout; the scan does {ratio:.1e} times as many")
    assert volts == pytest.approx(evaluate(layout).emf_rms_V, rel=2e-3)
    assert ratio > 1e5


def test_one_evaluation() -> None:
    for topology in ("serpentine", "wedge", "round"):
        layout = lantern_layout(topology)
        evaluate(layout)
        print(f"\nevaluate, {topology}: {best_time(lambda layout=layout: evaluate(layout), 20) * 1e3:.1f} ms")


def test_help() -> None:
    help_words = [sys.executable, "-c", "import optimizer.cli; optimizer.cli.main()", "--help"]
    seconds = best_time(lambda: subprocess.run(help_words, capture_output=True, check=True), 5)
    print(f"\npolepitch --help: {seconds * 1e3:.0f} ms")


SEARCHED = """
import resource, sys, time
from pathlib import Path
from optimizer.brief.brief import read_brief
from optimizer.jobs.chunks import Run, all_cores
from optimizer.search.search import optimize

brief, started = read_brief(Path(sys.argv[1])), time.perf_counter()
with all_cores() as executor:
    optimize(brief, run=Run(executor=executor))
seconds = time.perf_counter() - started
used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
print(seconds, sum(u.ru_utime + u.ru_stime for u in used), *(u.ru_maxrss / 1024 for u in used))
"""


def searched(path: Path) -> tuple[float, float, float]:
    """A whole search on all cores: s, processor seconds, and MB of the largest of its processes."""
    done = subprocess.run([sys.executable, "-c", SEARCHED, str(path)], capture_output=True, check=True, text=True)
    seconds, processor, here, child = map(float, done.stdout.split())
    return seconds, processor, max(here, child)


def test_time_grows_slowly_with_disc_kinds_and_arrangement() -> None:
    """Against the lantern: a disc of 240 mm, five kinds on 400 mm, six on 480 mm, facing carriers of discs or blocks.

    Processor seconds are compared: they hardly feel what else the machine does.
    """
    _, lantern, _ = searched(LANTERN)
    print(f"\nlantern: {lantern:.1f} s of processor time")
    for name, most in (("wide_lantern", 3), ("facing_blocks", 4), ("five_kinds", 12), ("six_kinds", 20)):
        seconds, processor, memory = searched(GROWTH / f"{name}.toml")
        print(
            f"{name}: {seconds:.1f} s on all cores, {processor / lantern:.1f} times the lantern's processor time, "
            f"{memory:.0f} MB"
        )
        assert processor < 1.3 * most * lantern


def test_a_sweep_of_twelve_points_takes_a_few_searches(brief: Brief) -> None:
    one = best_time(lambda: optimize(brief), 1)
    gaps = Axis(key="space.air_gap_mm", values=tuple(Decimal(1) + Decimal(step) / 10 for step in range(12)))
    twelve = best_time(lambda: sweep(brief, [gaps]), 1)
    print(f"\nsweep: 12 points take {twelve / one:.1f} times as long as one search, both on one core")
    assert twelve < 6 * one


def test_time_grows_linearly_with_stock_and_hardly_with_wires(brief: Brief) -> None:
    every = replace(brief, wires=tuple(Wire(diameter=size * 1e-3) for size in USUAL_MM))
    kinds = [DiscMagnet.of_grade(diameter=15e-3, thickness=size * 1e-3, grade="N42") for size in (2, 3, 4, 5)]
    stocked = replace(brief, magnets=tuple(StockMagnet(magnet=kind, quantity=16) for kind in kinds))
    one, wires, four = (best_time(lambda b=b: scan(b), 3) for b in (brief, every, stocked))
    print(
        f"\nscan: {len(every.wires)} wires instead of {len(brief.wires)} take {wires / one:.2f} times as long"
    )
    print(f"scan: 4 kinds of magnet instead of 1 take {four / one:.2f} times as long")
    assert four / one < 5.0
    assert wires / one < 2.0
