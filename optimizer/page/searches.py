"""Searches of one page: one at a time, stopped when whoever follows it goes away, its result kept while the page runs.

A kept result holds nothing of its own: the brief in the page's address gives the same one again.
"""

from __future__ import annotations

import asyncio
from collections import OrderedDict
from collections.abc import AsyncIterator
from typing import Any, TypeAlias

from optimizer.answers.page_values import Flat, Refused
from optimizer.page.workers import Workshop

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
