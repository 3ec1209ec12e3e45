"""Who does what: quick previews by a crew of their own, files by another worker, the search by a third."""

from __future__ import annotations

import os
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

from starlette.requests import Request

from optimizer.page.workers import Crew, Worker, WorkStopped

QUICK, MAKING = 8.0, 180.0  # s, the most that a preview or a file may take
LARGEST_CREW, LONGEST_QUEUE = 4, 500
ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


class Workshop:
    """All workers of one page."""

    def __init__(self) -> None:
        self._threads = ThreadPoolExecutor(16, "page")
        self._previewers = Crew(min(max(os.cpu_count() or 1, 1), LARGEST_CREW), self._threads)
        self._maker = Crew(1, self._threads)
        self.searcher = Worker(self._threads)
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
        """Do a quick task. Raises `Refused` or `WorkStopped`."""
        return await self._queued(lambda: self._previewers.run(task, payload, QUICK, _waits(request)))

    async def made(self, task: str, wanted: Any, request: Request) -> Any:
        """Do a task that takes its time: a file, a run. Raises `Refused` or `WorkStopped`."""
        return await self._queued(lambda: self._maker.run(task, wanted, MAKING, _waits(request)))

    async def _queued(self, work: Callable[[], Awaitable[Any]]) -> Any:
        if self._waiting >= LONGEST_QUEUE:
            raise WorkStopped("too many ask at once; try again")
        self._waiting += 1
        try:
            return await work()
        finally:
            self._waiting -= 1


def _waits(request: Request) -> Callable[[], Awaitable[bool]]:
    async def waits() -> bool:
        return not await request.is_disconnected()

    return waits
