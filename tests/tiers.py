"""The two tiers: a quick one while working, the full one before a change is handed on; what slow work tests share.

Run with no more than folders, pytest leaves out what is marked `slow`, `search` or `browser` and draws few examples
of a property; `--full` leaves out nothing but benchmarks. A file or a test that is named runs whatever its marks.
"""

from __future__ import annotations

import fcntl
import hashlib
import os
import pickle
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import ParamSpec, TypeVar

from hypothesis import settings

LATER = ("slow", "search", "browser")  # marks of what only the full tier runs
BROWSERS = {"browser", "fox", "either"}  # fixtures that a test marked `browser` has, asked for or not
QUICK, FULL = 25, 100  # examples of a property
FOLDER = "POLEPITCH_TEST_RUN"  # environment: where the workers of one run keep what they share

P = ParamSpec("P")
T = TypeVar("T")

settings.register_profile("quick", max_examples=QUICK)
settings.register_profile("full", max_examples=FULL)


def examples(full: int) -> int:
    """How many examples a property that wants `full` of them gets in this tier."""
    return min(full, QUICK) if settings.get_current_profile_name() == "quick" else full


def run_folder() -> Path:
    """Where what the workers of this run share may be written."""
    return Path(os.environ[FOLDER])


def shared(make: Callable[P, T]) -> Callable[P, T]:
    """Make `make` answer once in a run for the same arguments, whichever worker asks first; the others read the answer.

    Arguments must tell all about themselves in their `repr`, as dataclasses do; the answer must be one to pickle.
    """
    known: dict[str, T] = {}

    @wraps(make)
    def answer(*args: P.args, **kwargs: P.kwargs) -> T:
        asked = repr((make.__module__, make.__qualname__, args, sorted(kwargs.items())))
        assert " at 0x" not in asked, asked  # an address in place of what it is
        key = hashlib.sha256(asked.encode()).hexdigest()
        if key not in known:
            known[key] = _once(run_folder() / f"{make.__name__}-{key[:24]}", lambda: make(*args, **kwargs))
        return known[key]

    return answer


def _once(path: Path, make: Callable[[], T]) -> T:
    """What `path` holds; made and written by whoever comes first, while the others wait."""
    with path.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not path.exists():
            answer = make()
            half = path.with_suffix(".half")
            half.write_bytes(pickle.dumps(answer))
            half.rename(path)
    return pickle.loads(path.read_bytes())
