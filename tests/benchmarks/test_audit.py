"""The search audited by what it does not do itself: a table by brief; nothing found may beat an answer by 0.2 %."""

from collections.abc import Sequence
from pathlib import Path

import pytest
from audit import Audited, audited, audited_load

from optimizer.brief.brief import read_brief
from optimizer.brief.goal import GOALS
from optimizer.search.load_search import optimize_for_load
from optimizer.search.search import NOTHING, optimize, winner
from optimizer.search.sensitivity import relaxations

pytestmark = pytest.mark.benchmark

HERE = Path(__file__).parent
BRIEFS = [*sorted((HERE / "briefs").glob("*.toml")), HERE.parents[1] / "studies" / "lantern" / "brief.toml"]
LOADS = sorted((HERE / "loads").glob("*.toml"))
MOST = 2e-3  # share of an answer by which a rival may beat it
WORSE, AS_SAID = 5e-4, 5e-3  # shares of an answer that a wider limit may cost, and be off what was said


def named(path: Path) -> str:
    return f"{path.parent.name}/{path.stem}"


@pytest.mark.parametrize("path", BRIEFS, ids=named)
def test_nothing_beats_an_answer(path: Path):
    told(path, list(audited(optimize(read_brief(path)))))


@pytest.mark.parametrize("path", LOADS, ids=named)
def test_nothing_serves_a_load_better_than_the_answer(path: Path):
    brief = read_brief(path)
    assert brief.target is not None
    told(path, list(audited_load(brief, optimize_for_load(brief, brief.target))))


def told(path: Path, rows: Sequence[Audited]) -> None:
    print(f"\n{path.stem}: what beats each answer by how much, %")
    print(f"  {'best of':<14}{'value':>12}{'one move':>12}{'5,000 near':>12}{'evolution':>12}")
    for row in rows:
        shares = "".join(f"{share * 100:>+12.3f}" for share in (row.single, row.near, row.evolved))
        print(f"  {row.of:<14}{row.value:>12.5g}{shares}")
    assert max(row.single for row in rows) <= NOTHING
    assert max(max(row.near, row.evolved) for row in rows) <= MOST


@pytest.mark.parametrize("path", BRIEFS, ids=named)
def test_a_wider_limit_searched_anew_is_never_worse_and_brings_what_was_said(path: Path):
    brief = read_brief(path)
    result, goal = optimize(brief), GOALS[brief.goal]
    value, said = goal.value(result.best.figures), {row.key: row.gain for row in result.limits}
    gains = {
        step.key: goal.value(winner(step.brief)[0].figures) / value - 1 for step in relaxations(brief)
    }
    print(f"\n{path.stem}: what each wider limit brings, %, searched anew and as the answer says")
    for key, gain in gains.items():
        print(f"  {key:<26}{gain * 100:>+9.3f}{said[key] * 100:>+9.3f}")
    assert min(gains.values()) >= -WORSE
    assert said == pytest.approx(gains | {key: said[key] for key in said if key not in gains}, abs=AS_SAID)
