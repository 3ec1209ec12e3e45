"""Processes that do the work, so that any of it can be stopped at once and none of it holds the page up.

A `Worker` is one process, started when first asked and started anew after it was stopped. A `Crew` is several that
share out what comes in. The `Workshop` says who does what: quick previews a crew of their own, files another worker,
the search a third. `Searches` are one at a time, stopped when whoever follows one goes away; a kept result holds
nothing of its own: the brief in the page's address gives the same one again.
"""

from __future__ import annotations

import asyncio
import multiprocessing
import os
from collections import OrderedDict
from collections.abc import AsyncIterator, Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import TYPE_CHECKING, Any, Literal, TypeAlias

from optimizer.answers.refusal import Refused
from optimizer.answers.tasks import done, loaded

if TYPE_CHECKING:
    from starlette.requests import Request

    from optimizer.answers.page_values import Flat

STARTING = 90.0  # s, the most that a process may take to load what it needs
MEMORY = 6 << 30  # bytes of addresses, the most that a worker may take
QUICK, MAKING = 8.0, 180.0  # s, the most that a preview or a file may take
LARGEST_CREW, LONGEST_QUEUE = 4, 500
ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
CONTEXT = multiprocessing.get_context("spawn")


Said: TypeAlias = tuple[Literal["progress", "done", "refused"], Any]
"""What a process says: something known on the way, the task's value, or why there is none as `Refused` takes it."""


def _serve(pipe: Connection, first: str) -> None:
    """What a worker's process does until its page goes away; first: the task to be ready for."""
    _limit_memory()
    try:
        loaded(first)  # here, before the first task, not in the server
        pipe.send(("done", None))  # ready
        while True:
            name, payload = pipe.recv()
            pipe.send(_outcome(name, payload, pipe))
    except (EOFError, BrokenPipeError, KeyboardInterrupt):
        return


def _outcome(task: str, payload: Any, pipe: Connection) -> Said:
    try:
        return "done", done(task, payload, lambda value: pipe.send(("progress", value)))
    except Refused as refused:
        return "refused", refused.rows
    except BrokenPipeError:
        raise
    except MemoryError:
        return "refused", "this needs more memory than the page may take; use the command line"
    except Exception as error:
        return "refused", f"this could not be worked out ({type(error).__name__}: {error})"


def _limit_memory() -> None:
    try:
        import resource
    except ImportError:  # not on every system
        return
    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    maximum = MEMORY if hard == resource.RLIM_INFINITY else min(MEMORY, hard)
    resource.setrlimit(resource.RLIMIT_AS, (maximum, hard))


class Worker:
    """One process that does one task at a time; first: the task that it is ready for once it runs."""

    def __init__(self, threads: ThreadPoolExecutor, first: str) -> None:
        self._threads, self._first = threads, first
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None
        self._ready = False

    def start(self) -> Connection:
        """Start the process unless it runs; its end of the pipe."""
        if self._pipe is None or self._process is None or not self._process.is_alive():
            self.stop()
            self._pipe, theirs = CONTEXT.Pipe()
            self._process = CONTEXT.Process(target=_serve, args=(theirs, self._first), daemon=True)
            self._process.start()
            self._ready = False
            theirs.close()
        return self._pipe

    def stop(self) -> None:
        """End the process at once."""
        process, self._process, self._pipe = self._process, None, None  # a pipe still read from closes itself
        if process is not None:
            process.kill()
            process.join()
            process.close()

    async def run(
        self,
        name: str,
        payload: Any,
        seconds: float | None = None,
        progress: Callable[[Any], Awaitable[None]] | None = None,
    ) -> Any:
        """Do a task; raises `Refused` as the task does, after `seconds`, and when the process ended.

        progress: called with what the task makes known on the way. When the caller is cancelled the process is stopped.
        """
        try:
            async with asyncio.timeout(STARTING):
                pipe = await self._opened()
            async with asyncio.timeout(seconds):
                said, value = await self._converse(pipe, (name, payload), progress)
        except TimeoutError:
            self.stop()
            raise Refused("this took too long and was stopped") from None
        except (EOFError, OSError):
            self.stop()
            raise Refused("the work ended before it was done; try again") from None
        except BaseException:  # cancelled, or whoever is told is gone
            self.stop()
            raise
        if said == "refused":
            raise Refused(value)
        return value

    async def _opened(self) -> Connection:
        """The pipe of a process that has loaded what it needs."""
        loop = asyncio.get_running_loop()
        pipe = await loop.run_in_executor(self._threads, self.start)
        if not self._ready:
            await loop.run_in_executor(self._threads, pipe.recv)
            self._ready = True
        return pipe

    async def _converse(
        self, pipe: Connection, asked: tuple[str, Any], progress: Callable[[Any], Awaitable[None]] | None
    ) -> Said:
        loop = asyncio.get_running_loop()
        pipe.send(asked)
        while True:
            said: Said = await loop.run_in_executor(self._threads, pipe.recv)
            if said[0] != "progress":
                return said
            if progress is not None:
                await progress(said[1])


class Crew:
    """Several workers alike, ready for a task `first`; each task goes to one that is free."""

    def __init__(self, size: int, threads: ThreadPoolExecutor, first: str) -> None:
        self._workers = [Worker(threads, first) for _ in range(size)]
        self._free: asyncio.LifoQueue[Worker] = asyncio.LifoQueue()
        for worker in self._workers:
            self._free.put_nowait(worker)

    async def run(
        self, name: str, payload: Any, seconds: float, wanted: Callable[[], Awaitable[bool]]
    ) -> Any:
        """Do a task when its turn comes; raises `Refused` when by then nobody waits for it."""
        worker = await self._free.get()
        try:
            if not await wanted():
                raise Refused("nobody waits for this")
            return await worker.run(name, payload, seconds)
        finally:
            self._free.put_nowait(worker)

    def start(self) -> None:
        """Start all processes, so that the first task need not wait."""
        for worker in self._workers:
            worker.start()

    def stop(self) -> None:
        """End all processes."""
        for worker in self._workers:
            worker.stop()


class Workshop:
    """All workers of one page."""

    def __init__(self) -> None:
        self._threads = ThreadPoolExecutor(16, "page")
        self._previewers = Crew(min(max(os.cpu_count() or 1, 1), LARGEST_CREW), self._threads, "preview")
        self._maker = Crew(1, self._threads, "download")
        self.searcher = Worker(self._threads, "search")
        self._waiting = 0

    def open(self) -> None:
        """Start what is wanted at once. Workers take one thread each for linear algebra."""
        for name in ONE_THREAD:
            os.environ.setdefault(name, "1")
        self._previewers.start()

    def close(self) -> None:
        """End all workers."""
        self._previewers.stop()
        self._maker.stop()
        self.searcher.stop()
        self._threads.shutdown(wait=False, cancel_futures=True)

    async def quick(self, task: str, payload: Any, request: Request) -> Any:
        """Do a quick task. Raises `Refused`."""
        return await self._queued(lambda: self._previewers.run(task, payload, QUICK, _waits(request)))

    async def made(self, task: str, wanted: Any, request: Request) -> Any:
        """Do a task that takes its time: a file, a run. Raises `Refused`."""
        return await self._queued(lambda: self._maker.run(task, wanted, MAKING, _waits(request)))

    async def _queued(self, work: Callable[[], Awaitable[Any]]) -> Any:
        if self._waiting >= LONGEST_QUEUE:
            raise Refused("too many ask at once; try again")
        self._waiting += 1
        try:
            return await work()
        finally:
            self._waiting -= 1


def _waits(request: Request) -> Callable[[], Awaitable[bool]]:
    async def waits() -> bool:
        return not await request.is_disconnected()

    return waits


KEPT = 6  # results
PULSE = 2.0  # s, after which a silent search shows that it goes on
NOTICING = 2.5  # s, the most until the page's program sees that whoever followed a search has gone
BriefKey: TypeAlias = tuple[tuple[str, str], ...]


class Searches:
    """The one search, and the results of earlier ones."""

    def __init__(self, workshop: Workshop) -> None:
        self._workshop = workshop
        self._busy = self._ending = False
        self._kept: OrderedDict[BriefKey, dict[str, Any]] = OrderedDict()

    def kept(self, brief: Flat) -> dict[str, Any]:
        """Of an earlier search for this very brief what it "found", and its "result", pickled; empty for none."""
        return self._kept.get(_key(brief), {})

    async def begin(self, brief: Flat) -> AsyncIterator[dict[str, Any]]:
        """Begin a search; its lines, the last of them with what was found or with faults.

        One that was cancelled is waited for until it has ended. Raises `Refused` while another is under way. The
        search ends when its lines are no longer asked for.
        """
        last = asyncio.get_running_loop().time() + NOTICING
        while self._busy and (self._ending or asyncio.get_running_loop().time() < last):
            await asyncio.sleep(0.02)
        if self._busy:
            raise Refused("a search is under way already; wait for it, or cancel it where it was started", 409)
        return self._lines(brief)

    async def _lines(self, brief: Flat) -> AsyncIterator[dict[str, Any]]:
        if self._busy:
            yield {
                "faults": [{"key": "", "words": "a search is under way already; try again when it has ended"}]
            }
            return
        self._busy = True
        lines: asyncio.Queue[dict[str, Any]] = asyncio.Queue()
        search = asyncio.create_task(self._search(brief, lines))
        try:
            ended = False
            while not ended:
                try:
                    line = await asyncio.wait_for(lines.get(), PULSE)
                except TimeoutError:
                    line = {"pulse": True}
                ended = "found" in line or "faults" in line
                yield line
        finally:
            self._ending = True
            search.add_done_callback(self._ended)  # not before: its process is stopped by then
            search.cancel()

    def _ended(self, search: asyncio.Task[None]) -> None:
        del search
        self._busy = self._ending = False

    async def _search(self, brief: Flat, lines: asyncio.Queue[dict[str, Any]]) -> None:
        try:
            answer = await self._workshop.searcher.run("search", dict(brief), None, lines.put)
        except Refused as refused:
            await lines.put({"faults": [{"key": key, "words": words} for key, words in refused.rows]})
        else:
            self._kept[_key(brief)] = answer
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
            await lines.put({"found": answer["found"]})


def _key(brief: Flat) -> BriefKey:
    return tuple(sorted(brief.items()))
