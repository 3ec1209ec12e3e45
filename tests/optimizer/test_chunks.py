"""Jobs in units: the same to the bit wherever and however divided they run, stopped and resumed without loss."""

import json
import os
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import replace
from decimal import Decimal
from multiprocessing import get_context
from pathlib import Path

import pytest

from optimizer.brief.brief import Brief
from optimizer.jobs.chunks import (
    HERE,
    Run,
    Stopped,
    all_cores,
    begun,
    divided,
    run_units,
    worked,
    worker_pool,
)
from optimizer.jobs.journal import JournalFault, fingerprint, kinds_within, plain, restored
from optimizer.scan.choices import Candidate
from optimizer.scan.scan import Scan, scan, scan_unit, scan_units

LANTERN = Path(__file__).parents[2] / "studies" / "lantern" / "brief.toml"


def square(unit: int) -> int:
    return unit * unit


def logged(unit: tuple[str, int]) -> float:
    """A third of the unit's number; leaves a mark in a file, and breaks off where the file `stop` says."""
    folder, number = Path(unit[0]), unit[1]
    stop = folder / "stop"
    if stop.exists() and stop.read_text() == str(number):
        stop.unlink()
        raise KeyboardInterrupt
    with (folder / "log").open("a") as log:
        log.write(f"{number}\n")
    return number / 3


def units_in(folder: Path, count: int = 8) -> list[tuple[str, int]]:
    return [(str(folder), number) for number in range(count)]


def log_of(folder: Path) -> list[int]:
    return [int(line) for line in (folder / "log").read_text().split()]


@pytest.fixture(scope="module")
def pool():
    with ProcessPoolExecutor(2, get_context("spawn")) as executor:
        yield executor


@pytest.fixture(scope="module")
def serial(small_brief: Brief) -> Scan:
    return scan(small_brief)


def same(one: Scan, other: Scan) -> bool:
    """Equal to the bit: every float's shortest decimal is the same."""
    return one == other and json.dumps(plain(one.starts)) == json.dumps(plain(other.starts))


def test_units_find_what_the_scan_finds(small_brief: Brief, serial: Scan):
    (whole,) = worked(scan, [small_brief])
    assert serial.considered == whole.considered > 1_000_000
    assert same(serial, whole)


@pytest.mark.parametrize("chunks", [1, 2, 5])
def test_division_changes_no_bit(small_brief: Brief, serial: Scan, chunks: int):
    assert same(scan(small_brief, Run(chunks=chunks)), serial)


@pytest.mark.parametrize("chunks", [1, 2, None])
def test_processes_change_no_bit(small_brief: Brief, serial: Scan, pool: Executor, chunks: int | None):
    assert same(scan(small_brief, Run(executor=pool, chunks=chunks)), serial)


def test_units_alone_are_the_whole(small_brief: Brief, serial: Scan):
    parts = [scan_unit(unit) for unit in reversed(scan_units(small_brief))]
    assert sum(part.considered for part in parts) == serial.considered
    only = scan(small_brief, only=4)
    assert {start.family.count for start in only.starts} == {4}
    assert [start for start in serial.starts if start.family.count == 4] == list(only.starts)


@pytest.mark.slow
@pytest.mark.filterwarnings("default")  # the cluster's own
def test_dask_cluster_changes_no_bit(small_brief: Brief, serial: Scan):
    distributed = pytest.importorskip(
        "distributed", reason="needs polepitch[cluster]: dask.distributed is not here"
    )
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, silence_logs=50
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        executor = client.get_executor()
        assert same(scan(small_brief, Run(executor=executor)), serial)
        pids = client.run(os.getpid)
        assert len(set(pids.values()) - {os.getpid()}) == 2


def test_results_keep_the_order_of_the_units(pool: Executor):
    for run in (HERE, Run(chunks=3), Run(executor=pool, ahead=2), Run(executor=pool, chunks=4)):
        assert run_units(square, list(range(11)), run) == [n * n for n in range(11)]
    assert run_units(square, []) == []


@pytest.mark.parametrize("parts", [1, 2, 3, 7, 50])
def test_pieces_are_whole_and_nearly_equal(parts: int):
    pieces = divided(range(10), parts)
    assert [item for piece in pieces for item in piece] == list(range(10))
    sizes = [len(piece) for piece in pieces]
    assert min(sizes) >= 1
    assert max(sizes) - min(sizes) <= 1


def test_progress_tells_every_step():
    seen: list[tuple[int, int]] = []
    run_units(square, range(4), Run(progress=lambda done, total: seen.append((done, total))))
    assert seen == [(0, 4), (1, 4), (2, 4), (3, 4), (4, 4)]


def test_stopped_by_a_callable_and_resumed(tmp_path: Path):
    journal, asked = tmp_path / "journal", iter([False, False, False, True])
    run = Run(journal=journal, stop=lambda: next(asked))
    with pytest.raises(Stopped) as stopped:
        run_units(logged, units_in(tmp_path), run)
    assert (stopped.value.done, stopped.value.total, stopped.value.journal) == (3, 8, journal)
    seen: list[int] = []
    again = Run(journal=journal, progress=lambda done, total: seen.append(done), chunks=2)
    assert run_units(logged, units_in(tmp_path), again) == [n / 3 for n in range(8)]
    assert log_of(tmp_path) == list(range(8))  # none was computed twice
    assert seen[0] == 3


def test_stopped_by_ctrl_c_and_resumed(tmp_path: Path):
    (tmp_path / "stop").write_text("5")
    run = Run(journal=tmp_path / "journal")
    with pytest.raises(KeyboardInterrupt):
        run_units(logged, units_in(tmp_path), run)
    assert run_units(logged, units_in(tmp_path), run) == [n / 3 for n in range(8)]
    assert log_of(tmp_path) == list(range(8))


def test_a_stop_reaches_an_executor_and_resumes_elsewhere(tmp_path: Path, pool: Executor):
    journal, done = tmp_path / "journal", [0]

    def progress(finished: int, total: int) -> None:
        done[0] = finished

    run = Run(executor=pool, journal=journal, ahead=1, progress=progress, stop=lambda: done[0] >= 3)
    with pytest.raises(Stopped):
        run_units(logged, units_in(tmp_path), run)
    assert run_units(logged, units_in(tmp_path), Run(journal=journal)) == [n / 3 for n in range(8)]
    assert sorted(log_of(tmp_path)) == list(range(8))


def test_a_torn_last_line_loses_that_unit_alone(tmp_path: Path):
    journal = tmp_path / "journal"
    run_units(logged, units_in(tmp_path, 4), Run(journal=journal))
    whole = journal.read_bytes()
    last = whole.rstrip(b"\n").rfind(b"\n") + 1
    for cut in range(last, len(whole)):
        journal.write_bytes(whole[:cut])
        (tmp_path / "log").write_text("")
        assert run_units(logged, units_in(tmp_path, 4), Run(journal=journal)) == [n / 3 for n in range(4)]
        assert log_of(tmp_path) == [3]
        assert journal.read_bytes() == whole


def test_a_torn_first_line_starts_anew(tmp_path: Path):
    journal = tmp_path / "journal"
    run_units(square, [1, 2], Run(journal=journal))
    journal.write_bytes(journal.read_bytes()[:18])
    assert run_units(square, [1, 2], Run(journal=journal)) == [1, 4]
    assert run_units(square, [1, 2], Run(journal=journal)) == [1, 4]
    assert len(journal.read_text().splitlines()) == 3


def test_journals_of_other_jobs_are_refused(tmp_path: Path, small_brief: Brief):
    journal = tmp_path / "journal"
    scan(small_brief, Run(journal=journal), 2)
    before = journal.read_bytes()
    other = replace(small_brief, air_gap=small_brief.air_gap + 1e-15)
    with pytest.raises(JournalFault, match="must be the journal of this very job, was another's"):
        scan(other, Run(journal=journal), 2)
    with pytest.raises(JournalFault, match="must be the journal of this very job"):
        run_units(square, [1], Run(journal=journal))
    assert journal.read_bytes() == before


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"# a brief\n", "must be a journal of a sweep or a search, was another file"),
        (b"# a brief without a line feed", "must be a journal of a sweep or a search, was another file"),
        (b"{", "must be a journal of a sweep or a search, was another file"),
        (b'{"journal": "my dear diary', "must be a journal of a sweep or a search, was another file"),
        (
            b'{"journal": 2, "job": "another\'s, torn',
            "must be a journal of a sweep or a search, was another file",
        ),
        (b'{"journal": 1, "job": "old", "versions": {}}\n', "carry checksums, was one of an earlier version"),
        (
            b'{"journal": 2, "job": "no checksum"}\n',
            "must be a journal of a sweep or a search, was another file",
        ),
        (b"[1]\n", "must be a journal of a sweep or a search, was another file"),
        (b"\x00\xff\n", "must be a journal of a sweep or a search, was another file"),
    ],
)
def test_other_files_are_refused(tmp_path: Path, content: bytes, words: str):
    journal = tmp_path / "journal"
    journal.write_bytes(content)
    with pytest.raises(JournalFault, match=words):
        run_units(square, [1], Run(journal=journal))
    assert journal.read_bytes() == content


def test_a_broken_line_in_the_middle_is_told(tmp_path: Path):
    journal = tmp_path / "journal"
    run_units(square, [1, 2, 3], Run(journal=journal))
    lines = journal.read_text().splitlines(keepends=True)
    journal.write_text("".join([lines[0], lines[1][:-5] + "\n", *lines[2:]]))
    with pytest.raises(JournalFault, match="journal:2: must be a line of a journal, was not"):
        run_units(square, [1, 2, 3], Run(journal=journal))


def test_a_changed_digit_is_told(tmp_path: Path):
    journal = tmp_path / "journal"
    run_units(square, [1, 2, 3], Run(journal=journal))
    whole = journal.read_bytes()
    changed = whole.replace(b'"result": 4', b'"result": 5')
    assert changed != whole
    journal.write_bytes(changed)
    with pytest.raises(
        JournalFault, match=r"journal:3: must be as it was written, was changed since.*delete line 3"
    ):
        run_units(square, [1, 2, 3], Run(journal=journal))
    assert journal.read_bytes() == changed
    lines = changed.splitlines(keepends=True)
    journal.write_bytes(b"".join(lines[:2] + lines[3:]))
    assert run_units(square, [1, 2, 3], Run(journal=journal)) == [1, 4, 9]


def test_a_changed_first_line_is_told(tmp_path: Path):
    journal = tmp_path / "journal"
    run_units(square, [1], Run(journal=journal))
    changed = journal.read_bytes().replace(b'"numpy": "', b'"numpy": "9')
    journal.write_bytes(changed)
    with pytest.raises(JournalFault, match="journal:1: must be as it was written, was changed since"):
        run_units(square, [1], Run(journal=journal))
    assert journal.read_bytes() == changed


def test_words_at_the_end_of_a_journal_are_not_cut_off(tmp_path: Path):
    journal = tmp_path / "journal"
    run_units(square, [1, 2], Run(journal=journal))
    noted = journal.read_bytes() + b"a note without a line feed"
    journal.write_bytes(noted)
    with pytest.raises(JournalFault, match="journal:4: must be a line of a journal, was not"):
        run_units(square, [1, 2], Run(journal=journal))
    assert journal.read_bytes() == noted


def test_a_folder_is_no_journal(tmp_path: Path):
    with pytest.raises(JournalFault, match="must be a file"):
        run_units(square, [1], Run(journal=tmp_path))


def test_values_come_back_to_the_bit(serial: Scan):
    values = (
        0.1 + 0.2,
        1e-300,
        Decimal("2.140"),
        None,
        True,
        "ü\n",
        [1, (2.5,)],
        {"a": (1,)},
        serial.starts[0],
    )
    assert restored(json.loads(json.dumps(plain(values))), kinds_within(Candidate)) == values
    assert fingerprint([0.1 + 0.2]) != fingerprint([0.3])


@pytest.mark.parametrize("name", ["os.system", "Path", "SweepPoint", "optimizer.scan.choices.Candidate"])
def test_a_journal_can_name_nothing_but_what_a_result_holds(name: str):
    with pytest.raises(LookupError):
        restored({"=": name}, kinds_within(Candidate))


def test_what_a_journal_cannot_hold_is_told(tmp_path: Path):
    with pytest.raises(TypeError, match="was object"):
        run_units(square, [object()], Run(journal=tmp_path / "journal"))  # type: ignore[list-item]


class Counting(Executor):
    """Runs nothing until it must; knows the most that was waiting at a time."""

    def __init__(self) -> None:
        self.waiting: list[tuple[Future, tuple]] = []
        self.maximum = 0

    def submit(self, fn, /, *args, **kwargs):
        future: Future = Future()
        self.waiting.append((future, (fn, *args)))
        self.maximum = max(self.maximum, len(self.waiting))
        if len(self.waiting) == 3:
            for waiting, (call, *given) in self.waiting:
                waiting.set_result(call(*given))
            self.waiting.clear()
        return future


def test_an_executor_is_never_handed_more_than_agreed():
    executor = Counting()
    assert run_units(square, range(300), Run(executor=executor, ahead=3)) == [n * n for n in range(300)]
    assert executor.maximum == 3


def test_runs_out_of_range_are_refused():
    with pytest.raises(ValueError, match="chunks must be at least 1, was 0"):
        Run(chunks=0)
    with pytest.raises(ValueError, match="ahead must be at least 1, was 0"):
        Run(ahead=0)


def test_one_worker_is_this_process():
    with worker_pool(1) as executor:
        assert executor is None


@pytest.mark.slow
def test_workers_are_not_waited_for_when_the_job_breaks_off():
    pool = worker_pool(2)
    executor = pool.__enter__()
    assert executor is not None
    assert executor.submit(square, 3).result() == 9
    assert not pool.__exit__(KeyboardInterrupt, KeyboardInterrupt(), None)  # and goes on upwards
    with pytest.raises(RuntimeError, match="after shutdown"):
        executor.submit(square, 3)


def half_of(number: int) -> float:
    return number / 2


def test_results_are_told_of_as_they_come():
    heard: list[float] = []
    assert run_units(half_of, [4, 2], heard=heard.append) == heard == [2.0, 1.0]


def test_begun_work_gives_what_it_would_give_here():
    with ThreadPoolExecutor(1) as pool:
        assert begun(half_of, 3, Run(executor=pool))() == begun(half_of, 3, HERE)() == 1.5


def test_all_cores_are_asked_only_where_a_fork_is_safe():
    with ThreadPoolExecutor(1) as thread:
        thread.submit(int).result()
        with all_cores() as executor:
            assert executor is None
