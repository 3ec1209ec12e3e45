"""A process beside this one that gets ready while this one works, and then does its units of work on all cores.

It is forked before anything heavy is loaded, so that loading what it needs costs no time here; when it is asked, it
forks itself, and each process takes the next unit as soon as it is free. Where that is not to be had, the work is to be
done here, with the same results.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
import warnings
from collections.abc import Callable, Generator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from multiprocessing import Pipe
from multiprocessing.connection import Connection, wait
from typing import Any, NoReturn, TypeAlias

Work: TypeAlias = tuple[Callable[[Any], Sequence[str]], Callable[[Any, str], Any]]
"""Of what it is asked about: its units, and what comes of one."""


@dataclass(frozen=True, slots=True)
class Helper:
    """The process. question: takes what it is asked about. answers: what each of its processes sends back."""

    question: Connection
    answers: tuple[Connection, ...]

    def ask(self, about: object) -> None:
        """Have it do its work about this, which can be pickled; once in a life."""
        with suppress(BrokenPipeError):  # it has ended: `results` says so
            self.question.send(about)

    def results(self, told: Callable[[int, int], None]) -> dict[str, Any]:
        """What came of each unit, in their order; told: units done, and in all.

        Raises what was raised there, and ChildProcessError should a process have ended before its time.
        """
        found, names, left = dict[str, Any](), tuple[str, ...](), list(self.answers)
        while left:
            for ready in wait(left):
                assert isinstance(ready, Connection)
                try:
                    names, unit, result = ready.recv()
                except EOFError:
                    left.remove(ready)
                    continue
                if isinstance(result, BaseException):
                    raise result
                found[unit] = result
                told(len(found), len(names))
        if not names or len(found) < len(names):
            raise ChildProcessError(f"ended after {len(found)} of {len(names)}")
        return {name: found[name] for name in names}


@contextmanager
def helper(prepare: Callable[[], Work]) -> Generator[Helper | None]:
    """One that does the work that `prepare`, called there, gives; None on one core, beside threads, or off Linux."""
    cores = len(os.sched_getaffinity(0)) if sys.platform == "linux" else 1
    if cores < 2 or threading.active_count() > 1:
        yield None
        return
    asked, question = Pipe(duplex=False)
    pipes = [Pipe(duplex=False) for _ in range(cores)]
    child = _forked()
    if not child:
        question.close()
        for receiver, _ in pipes:
            receiver.close()
        _serve(prepare, asked, [sender for _, sender in pipes])
    asked.close()
    for _, sender in pipes:
        sender.close()
    try:
        yield Helper(question, tuple(receiver for receiver, _ in pipes))
    finally:
        question.close()
        with suppress(ProcessLookupError):
            os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)


def _forked() -> int:
    with warnings.catch_warnings():  # of threads: those of BLAS, which sees to them itself
        warnings.simplefilter("ignore", DeprecationWarning)
        return os.fork()


def _serve(prepare: Callable[[], Work], asked: Connection, answers: list[Connection]) -> NoReturn:
    """In the child: get ready, wait for the question, answer it and end; nothing is cleaned up that is not its own."""
    try:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        units, work = prepare()
        about = asked.recv()
        names = tuple(units(about))
        queue, last = os.pipe()
        os.write(last, bytes(range(len(names))))
        os.close(last)
        mine = next((answer for answer in answers[1:] if not _forked()), answers[0])
        while taken := os.read(queue, 1):
            unit = names[taken[0]]
            mine.send((names, unit, _answer(work, about, unit)))
    finally:
        os._exit(0)


def _answer(work: Callable[[Any, str], Any], about: object, unit: str) -> object:
    try:
        return work(about, unit)
    except BaseException as fault:  # for who asked
        return fault
