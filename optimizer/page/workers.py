"""Processes that do the work, so that any of it can be stopped at once and none of it holds the page up.

A `Worker` is one process, started when first asked and started anew after it was stopped. A `Crew` is several that
share out what comes in.
"""

from __future__ import annotations

import asyncio
import multiprocessing
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

from optimizer.answers.refused import Refused

STARTING = 90.0  # s, the most that a process may take to load what it needs
MEMORY = 6 << 30  # bytes of addresses, the most that a worker may take
CONTEXT = multiprocessing.get_context("spawn")


class WorkStopped(Exception):  # noqa: N818 - an outcome, not a failure of ours
    """The work was stopped before it was done; the message says why."""


@dataclass(frozen=True, slots=True)
class _Progress:
    """Something known on the way."""

    value: Any


@dataclass(frozen=True, slots=True)
class _Done:
    """How a task ended: with a value, with words for the person, or without either."""

    value: Any = None
    rows: list[tuple[str, str]] | None = None
    failed: str = ""


def _serve(pipe: Connection) -> None:
    """What a worker's process does until its page goes away."""
    _limit_memory()
    from optimizer.answers.tasks import (
        TASKS,  # loads the library: here, before the first task, not in the server
    )

    try:
        pipe.send(_Done())  # ready
        while True:
            name, payload = pipe.recv()
            pipe.send(_outcome(TASKS[name], payload, pipe))
    except (EOFError, BrokenPipeError, KeyboardInterrupt):
        return


def _outcome(task: Callable[[Any, Callable[[Any], None]], Any], payload: Any, pipe: Connection) -> _Done:
    try:
        return _Done(task(payload, lambda value: pipe.send(_Progress(value))))
    except Refused as refused:
        return _Done(rows=refused.rows)
    except BrokenPipeError:
        raise
    except MemoryError:
        return _Done(rows=[("", "this needs more memory than the page may take; use the command line")])
    except Exception as error:
        return _Done(failed=f"{type(error).__name__}: {error}")


def _limit_memory() -> None:
    try:
        import resource
    except ImportError:  # not on every system
        return
    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    maximum = MEMORY if hard == resource.RLIM_INFINITY else min(MEMORY, hard)
    resource.setrlimit(resource.RLIMIT_AS, (maximum, hard))


class Worker:
    """One process that does one task at a time."""

    def __init__(self, threads: ThreadPoolExecutor) -> None:
        self._threads = threads
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None
        self._ready = False

    def start(self) -> Connection:
        """Start the process unless it runs; its end of the pipe."""
        if self._pipe is None or self._process is None or not self._process.is_alive():
            self.stop()
            self._pipe, theirs = CONTEXT.Pipe()
            self._process = CONTEXT.Process(target=_serve, args=(theirs,), daemon=True)
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
        """Do a task; raises `Refused` as the task does, and `WorkStopped` after `seconds` or when the process ended.

        progress: called with what the task makes known on the way. When the caller is cancelled the process is stopped.
        """
        try:
            async with asyncio.timeout(STARTING):
                pipe = await self._opened()
            async with asyncio.timeout(seconds):
                done = await self._converse(pipe, (name, payload), progress)
        except TimeoutError:
            self.stop()
            raise WorkStopped("this took too long and was stopped") from None
        except (EOFError, OSError):
            self.stop()
            raise WorkStopped("the work ended before it was done; try again") from None
        except BaseException:  # cancelled, or whoever is told is gone
            self.stop()
            raise
        if done.rows is not None:
            raise Refused(done.rows)
        if done.failed:
            raise WorkStopped(f"this could not be worked out ({done.failed})")
        return done.value

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
    ) -> _Done:
        loop = asyncio.get_running_loop()
        pipe.send(asked)
        while True:
            said: _Progress | _Done = await loop.run_in_executor(self._threads, pipe.recv)
            if isinstance(said, _Done):
                return said
            if progress is not None:
                await progress(said.value)


class Crew:
    """Several workers alike; a task goes to one that is free."""

    def __init__(self, size: int, threads: ThreadPoolExecutor) -> None:
        self._workers = [Worker(threads) for _ in range(size)]
        self._free: asyncio.LifoQueue[Worker] = asyncio.LifoQueue()
        for worker in self._workers:
            self._free.put_nowait(worker)

    async def run(
        self, name: str, payload: Any, seconds: float, wanted: Callable[[], Awaitable[bool]]
    ) -> Any:
        """Do a task when its turn comes; raises `WorkStopped` when by then nobody waits for it."""
        worker = await self._free.get()
        try:
            if not await wanted():
                raise WorkStopped("nobody waits for this")
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
