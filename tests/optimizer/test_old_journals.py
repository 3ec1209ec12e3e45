"""Journals written before classes moved into rooms are gone on with, and jobs are called the same today."""

import json
import shutil
from collections.abc import Callable
from dataclasses import MISSING, fields, replace
from pathlib import Path
from typing import get_type_hints

import pytest

from optimizer.brief.brief import Brief, brief_from_text
from optimizer.brief.wire_tables import Spool
from optimizer.jobs import journal as journals
from optimizer.jobs.chunks import Run, Stopped
from optimizer.jobs.journal import kinds_within, plain, restored
from optimizer.scan.scan import scan_unit
from optimizer.surveys import front, sweeps
from optimizer.surveys.front import pareto_front
from optimizer.surveys.sweeps import read_axis, sweep

OLD = Path(__file__).parents[1] / "golden" / "journals"
BRIEF = (OLD / "thick_round.toml").read_text()
JOBS: dict[str, Callable[[Run], object]] = {
    "sweep_air_gap": lambda run: sweep(BRIEF, [read_axis("space.air_gap_mm=1,2")], run=run),
    "front_wire": lambda run: pareto_front(brief_from_text(BRIEF, "brief"), "wire", 3, run),
}
WORKS = (
    sweeps.searched_point,
    sweeps.evaluated_point,
    front.limited_best,
    front.refined_best,
    scan_unit,
)


@pytest.mark.search
@pytest.mark.parametrize("name", JOBS)
def test_an_old_journal_is_gone_on_with(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    old = OLD / f"{name}.journal"
    kept = tmp_path / "run.journal"
    shutil.copy(old, kept)
    head = json.loads(old.read_text().splitlines()[0])
    monkeypatch.setattr(journals, "versions", lambda: head["versions"])
    seen: list[tuple[int, int]] = []
    resumed = JOBS[name](Run(journal=kept, progress=lambda done, total: seen.append((done, total))))
    assert seen == [(2, 2)]  # nothing was worked out again
    assert kept.read_bytes() == old.read_bytes()
    if name == "sweep_air_gap":
        first = json.loads(old.read_text().splitlines()[1])["result"]["entry"]["figures"]
        assert isinstance(resumed, sweeps.Sweep)
        entry = resumed.points[0].entry
        assert entry is not None
        assert entry.figures.emf_rms_V == first["emf_rms_V"]
        assert entry.layout.carrier.magnet.label == first["magnet"]["label"]


def test_a_job_is_called_today_as_it_was_then(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    old = (OLD / "sweep_air_gap.journal").read_bytes().splitlines(keepends=True)
    monkeypatch.setattr(journals, "versions", lambda: json.loads(old[0])["versions"])
    with pytest.raises(Stopped):
        JOBS["sweep_air_gap"](Run(journal=tmp_path / "run.journal", stop=lambda: True))
    assert (tmp_path / "run.journal").read_bytes() == old[0]


def test_every_class_keeps_the_name_and_fields_that_journals_know():
    """What a job is made of must be called as it was, or its old journals would count as another job's."""
    then: dict[str, list[str]] = json.loads((OLD / "classes.json").read_text())
    hints = [get_type_hints(work) for work in WORKS]
    given = {
        name: kind for hint in hints for each in hint.values() for name, kind in kinds_within(each).items()
    }
    assert set(then) <= set(given)
    results = {name for hint in hints for name in kinds_within(hint["return"])}
    layout = set(kinds_within(get_type_hints(sweeps.evaluated_point)["unit"]))
    for name in sorted(set(then) - (results - layout)):
        assert _keys(given[name]) == then[name], name


def test_fields_that_came_later_are_kept_where_they_say_something():
    brief = brief_from_text(BRIEF, "brief")
    assert "spools" not in plain(brief)
    spooled = replace(brief, spools=(Spool(wire=brief.wires[0], length=20),))
    assert restored(plain(spooled), kinds_within(Brief)) == spooled


def _keys(kind: type) -> list[str]:
    """Its fields' names in a journal."""
    blank = object.__new__(kind)
    for field in fields(kind):
        object.__setattr__(blank, field.name, None if field.default is MISSING else field.default)
    return [key for key in plain(blank) if key != "="]
