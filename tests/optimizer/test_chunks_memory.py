"""What units of a job cost in memory."""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from optimizer.brief.brief import Brief, StockMagnet
from optimizer.scan.scan import ScanUnit, scan_units

TESTS = Path(__file__).parents[1]
LANTERN = TESTS.parent / "studies" / "lantern" / "brief.toml"


# the peak of this program alone: a process inherits the peak of the one that started it in ru_maxrss
MEMORY = """
import sys
from dataclasses import replace
from optimizer.brief.brief import StockMagnet, read_brief
from optimizer.scan.scan import scan
from peak_memory import peak_kilobytes
brief = read_brief(sys.argv[1])
kinds = [replace(brief.magnets[0].magnet, thickness=(3 + k / 8) * 1e-3) for k in range(4)]
for stocked in (kinds[:1], kinds):
    found = scan(replace(brief, magnets=tuple(StockMagnet(magnet=kind, quantity=8) for kind in stocked)))
    print(found.considered, peak_kilobytes())
"""


def memory(brief: Path) -> list[tuple[int, float]]:
    """Layouts considered, of a kind of magnet and then of four, and the most memory taken until then, MB."""
    command = [sys.executable, "-c", MEMORY, str(brief)]
    places = os.pathsep.join([str(TESTS), os.environ.get("PYTHONPATH", "")])
    told = subprocess.run(
        command, capture_output=True, text=True, check=True, env=os.environ | {"PYTHONPATH": places}
    )
    rows = (line.split() for line in told.stdout.splitlines())
    return [(int(considered), int(kilobytes) / 1024) for considered, kilobytes in rows]


@pytest.mark.search
def test_tens_of_millions_of_layouts_take_no_more_memory_than_a_few():
    (few, low), (many, high) = memory(LANTERN)
    print(f"\n{few:,} layouts: {low:.0f} MB; {many:,}: {high:.0f} MB")
    assert many == 4 * few > 3e7
    assert high < 1024
    assert high - low < 20  # one byte for each layout more, and it would be


def test_units_of_a_large_stock_share_one_brief(small_brief: Brief):
    kinds = [replace(small_brief.magnets[0].magnet, thickness=(3 + k / 100) * 1e-3) for k in range(50)]
    stocked = replace(small_brief, magnets=tuple(StockMagnet(magnet=kind) for kind in kinds))
    units = scan_units(stocked)
    assert len(units) > 150
    assert all(isinstance(unit, ScanUnit) and unit.brief is stocked for unit in units)
