"""How fast the heaviest machines follow a slider, printed: `python -m pytest -m benchmark -s`."""

from __future__ import annotations

import pytest
from test_load import stepped
from visiting import Visit

pytestmark = pytest.mark.benchmark


@pytest.mark.parametrize(
    ("shape", "topology"), [("disc", "serpentine"), ("arc", "serpentine"), ("arc", "round")]
)
def test_three_phases_between_two_carriers_with_steel(visit: Visit, shape: str, topology: str):
    page = visit.page
    page.check(f"#controls input[value={topology}]")
    page.check("#controls input[name=c-winding-phases][value='3']")
    page.check(f"#controls input[value={shape}]")
    page.select_option("#c-carrier-arrangement", "facing")
    page.fill("#c-carrier-plate_mm", "3")
    visit.settled()
    times = sorted(stepped(visit))
    median, worst = times[len(times) // 2], times[-1]
    print(
        f"\n{shape}s, {topology}, three phases, facing, steel: median {median:.0f} ms, worst {worst:.0f} ms"
    )
    assert "V" in page.inner_text("#rms")
    visit.forgive("422")  # an arc drawn past its partner is told so
    assert median < 100
