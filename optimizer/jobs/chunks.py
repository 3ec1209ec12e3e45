"""Long jobs in pieces: on any executor, with progress, stopped at any time and resumed from a journal.

A job is a list of units and a function of one unit. Units know nothing of each other and each runs with one BLAS
thread, so a unit's result is the same to the bit wherever and in whatever company it runs. The door to threadpoolctl.
"""

from __future__ import annotations

import copyreg
import os
import signal
import sys
import warnings
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, wait
from contextlib import contextmanager
from dataclasses import dataclass
from functools import wraps
from itertools import pairwise
from multiprocessing import get_all_start_methods, get_context, parent_process
from pathlib import Path
from threading import Thread, active_count
from typing import Any, ParamSpec, TypeAlias, TypeVar, get_type_hints

from threadpoolctl import threadpool_limits

from geometry.coils.topology import TOPOLOGIES, Topology
from optimizer.jobs.journal import Journal

U = TypeVar("U")
R = TypeVar("R")
P = ParamSpec("P")

POLL = 0.2  # s between looks at `Run.stop` while workers work

Progress: TypeAlias = Callable[[str, float], None]
"""Called with what is being done and the share of it that is done."""


def topology_named(name: str) -> Topology:
    """The coil shape of this name: how one travels between processes, being made of functions."""
    return TOPOLOGIES[name]


for kind in {Topology, *map(type, TOPOLOGIES.values())}:
    copyreg.pickle(kind, lambda topology: (topology_named, (topology.name,)))  # pyright: ignore[reportArgumentType]

_Piece: TypeAlias = Sequence[int]
_Done: TypeAlias = Iterator[tuple[_Piece, list[Any]]]


class Stopped(Exception):  # noqa: N818 - asked for, not an error
    """A job that was asked to stop. done, total: units; journal: where the finished ones are kept, or None."""

    def __init__(self, done: int, total: int, journal: Path | None) -> None:
        super().__init__(f"stopped after {done} of {total}")
        self.done, self.total, self.journal = done, total, journal


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """How a job is run.

    executor: any executor of `concurrent.futures`, Dask's `client.get_executor()` among them; None works here and now.
    progress: called with units done and units in all. stop: asked between pieces; True raises `Stopped`.
    journal: file that keeps every finished unit, and from which a job that was broken off takes what it has done;
    None keeps nothing. chunks: pieces that the units are divided into, at least 1; None makes each unit a piece.
    ahead: pieces that may be with the executor at a time, at least 1; it bounds memory and what a stop loses.
    Raises ValueError outside these ranges.
    """

    executor: Executor | None = None
    progress: Callable[[int, int], None] = lambda done, total: None
    stop: Callable[[], bool] = lambda: False
    journal: Path | None = None
    chunks: int | None = None
    ahead: int = 16

    def __post_init__(self) -> None:
        if self.chunks is not None and self.chunks < 1:
            raise ValueError(f"chunks must be at least 1, was {self.chunks}")
        if self.ahead < 1:
            raise ValueError(f"ahead must be at least 1, was {self.ahead}")


HERE = Run()
"""In this process, from start to end."""


def run_units(
    work: Callable[[U], R],
    units: Sequence[U],
    run: Run = HERE,
    about: object = None,
    heard: Callable[[R], None] = lambda result: None,
) -> list[R]:
    """`work` of every unit, in the order of the units.

    work: a function that can be pickled when an executor is used; its result too. about: what the job is about,
    beside its units: a journal of another job is refused. heard: told of each result as it comes.
    Raises Stopped, JournalFault, and whatever `work` raises.
    """
    journal = None
    if run.journal:
        result = get_type_hints(work).get("return")
        journal = Journal.open(run.journal, (work.__qualname__, about, *units), result)
    results: dict[int, R] = dict(journal.known) if journal else {}
    left = [index for index in range(len(units)) if index not in results]
    run.progress(len(results), len(units))
    pieces = divided(left, len(left) if run.chunks is None else run.chunks)
    finished = _here(work, units, pieces) if run.executor is None else _there(work, units, pieces, run)
    try:
        _ask(run)
        for piece, found in finished:
            results.update(zip(piece, found, strict=True))
            for each in found:
                heard(each)
            if journal:
                journal.add(dict(zip(piece, found, strict=True)))
            run.progress(len(results), len(units))
            if len(results) < len(units):
                _ask(run)
    except _Asked:
        raise Stopped(len(results), len(units), run.journal) from None
    finally:
        finished.close()
    return [results[index] for index in range(len(units))]


class _Asked(Exception):  # noqa: N818
    """`Run.stop` said so."""


def _ask(run: Run) -> None:
    if run.stop():
        raise _Asked


def one_thread(work: Callable[P, R]) -> Callable[P, R]:
    """`work` with one BLAS thread: its products are small, and their last bits must not depend on the machine."""

    @wraps(work)
    def alone(*args: P.args, **words: P.kwargs) -> R:
        with threadpool_limits(limits=1, user_api="blas"):
            return work(*args, **words)

    return alone


def divided(items: Sequence[int], parts: int) -> list[list[int]]:
    """`items` in at most `parts` runs of neighbours, as equal as can be, none empty."""
    parts = min(parts, len(items))
    edges = [len(items) * part // parts for part in range(parts + 1)] if parts else [0]
    return [list(items[low:high]) for low, high in pairwise(edges)]


@one_thread
def worked(work: Callable[[U], R], units: Sequence[U]) -> list[R]:
    """`work` of each unit: what an executor is handed."""
    return [work(unit) for unit in units]


def begun(work: Callable[[U], R], unit: U, run: Run) -> Callable[[], R]:
    """One unit's work handed to the executor, if there is one; what is returned waits for the result and gives it."""
    if run.executor is None:
        return lambda: worked(work, [unit])[0]
    future = run.executor.submit(worked, work, [unit])
    return lambda: future.result()[0]


def _here(work: Callable[[U], R], units: Sequence[U], pieces: Sequence[_Piece]) -> Generator[Any]:
    for piece in pieces:
        yield piece, worked(work, [units[index] for index in piece])


def _there(work: Callable[[U], R], units: Sequence[U], pieces: Sequence[_Piece], run: Run) -> Generator[Any]:
    assert run.executor is not None
    waiting: dict[Future[list[R]], _Piece] = {}
    try:
        for piece in pieces:
            while len(waiting) >= run.ahead:
                yield from _collected(waiting, run)
            waiting[run.executor.submit(worked, work, [units[index] for index in piece])] = piece
        while waiting:
            yield from _collected(waiting, run)
    finally:
        for future in waiting:
            future.cancel()


def _collected(waiting: dict[Future[list[R]], _Piece], run: Run) -> _Done:
    """Pieces that have come back, taken out of `waiting`."""
    done, _ = wait(waiting, POLL, FIRST_COMPLETED)
    for future in sorted(done, key=lambda future: waiting[future][0]):
        yield waiting.pop(future), future.result()
    _ask(run)


@contextmanager
def worker_pool(workers: int) -> Generator[Executor | None]:
    """An executor of `workers` processes; None, for working here, when there is only one.

    Workers start afresh (no fork), end with Ctrl-C, and are not waited for when the job breaks off.
    """
    with _pool(workers, "spawn") as pool:
        yield pool


@contextmanager
def all_cores() -> Generator[Executor | None]:
    """An executor on every core that this process may use; None, for working here, on one or where there is no fork.

    Its workers are forked at once, with all that is loaded by then, and only from a process without other threads.
    """
    able = "fork" in get_all_start_methods() and sys.platform == "linux" and active_count() == 1
    with _pool(len(os.sched_getaffinity(0)) if able else 1, "fork") as pool:
        if pool is not None:
            with warnings.catch_warnings():  # of threads: those of BLAS, which sees to them itself
                warnings.simplefilter("ignore", DeprecationWarning)
                pool.submit(int)
        yield pool


@contextmanager
def _pool(workers: int, method: str) -> Generator[Executor | None]:
    if workers < 2:
        yield None
        return
    pool = ProcessPoolExecutor(workers, get_context(method), initializer=_begin)
    try:
        yield pool
    except BaseException:
        pool.shutdown(wait=False, cancel_futures=True)
        raise
    pool.shutdown()


def _begin() -> None:
    """A worker ends with Ctrl-C, and with the process that it works for."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
