"""The search audited by what it does not do itself: a table by brief; nothing found may beat an answer by 0.2 %."""

from pathlib import Path

import pytest
from audit import audited

from optimizer.brief.brief import read_brief
from optimizer.search.search import optimize

HERE = Path(__file__).parent
BRIEFS = [*sorted((HERE / "briefs").glob("*.toml")), HERE.parents[1] / "studies" / "lantern" / "brief.toml"]
MOST = 2e-3  # share of an answer by which a rival may beat it


@pytest.mark.benchmark
@pytest.mark.parametrize("path", BRIEFS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_nothing_beats_an_answer(path: Path):
    result = optimize(read_brief(path))
    rows = list(audited(result))
    print(f"\n{path.stem}: what beats each answer by how much, %")
    print(f"  {'best of':<14}{'value':>10}{'one move':>12}{'5,000 near':>12}{'evolution':>12}")
    for row in rows:
        shares = "".join(f"{share * 100:>+12.3f}" for share in (row.single, row.near, row.evolved))
        print(f"  {row.of:<14}{row.value:>10.5g}{shares}")
    assert max(row.single for row in rows) <= 5e-5
    assert max(max(row.near, row.evolved) for row in rows) <= MOST
