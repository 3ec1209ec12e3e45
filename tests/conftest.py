"""Which tests run, with how many examples, and where the workers of a run meet."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Generator
from itertools import groupby
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import settings
from tiers import BROWSERS, FOLDER, LATER

LONG = 1.0  # s of processor time, children's too, above which a test is named at the end of the quick tier
SPENT = "processor seconds"


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--full", action="store_true", help="the full tier: everything but benchmarks")


def pytest_configure(config: pytest.Config) -> None:
    settings.load_profile("full" if config.getoption("--full") else "quick")
    # a run starts some hundred interpreters: what the first compiles is kept for the others, in this environment too
    sys.dont_write_bytecode = False
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


@pytest.fixture(scope="session", autouse=True)
def _meeting_place(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> None:
    """The folder that all workers of this run see and no other run does."""
    base = tmp_path_factory.getbasetemp()
    folder = (base if worker_id == "master" else base.parent) / "shared"
    folder.mkdir(exist_ok=True)
    os.environ[FOLDER] = str(folder)


@pytest.fixture
def once(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Makes a function of that name in these modules work once in a test for the same first `arguments`."""

    def patch(name: str, *modules: ModuleType, arguments: int) -> None:
        work, known = getattr(modules[0], name), dict[str, object]()

        def answer(*args: object, **kwargs: object) -> object:
            asked = repr(args[:arguments])
            if asked not in known:
                known[asked] = work(*args, **kwargs)
            return known[asked]

        for module in modules:
            monkeypatch.setattr(module, name, answer)

    return patch


@pytest.fixture
def shared_searches(monkeypatch: pytest.MonkeyPatch) -> None:
    """Commands and the page's answers, run in this process, take what the searches shared by all tests have found."""
    from searches import searched, searched_for_load

    from optimizer.answers import search_answer
    from optimizer.search import load_search, search

    for module in (search, search_answer):
        monkeypatch.setattr(module, "optimize", lambda brief, *_, **__: searched(brief))
    for module in (load_search, search_answer):
        monkeypatch.setattr(
            module, "optimize_for_load", lambda brief, target, *_, **__: searched_for_load(brief, target)
        )


def is_long(item: pytest.Item) -> bool:
    """Whether only the full tier runs it."""
    return any(map(item.get_closest_marker, LATER))


def dealt(items: list[pytest.Item], workers: int) -> list[pytest.Item]:
    """The tests in as many equal parts as xdist cuts them into: in each what is long comes first, file by file.

    Whoever is done early takes over the end of another part: short tests, so that nobody waits long. The page's tests
    all begin the first part: one server and one browser of a kind for them all.
    """
    page = sorted((item for item in items if item.path.parent.name == "page"), key=lambda item: not is_long(item))
    rest = [item for item in items if item.path.parent.name != "page"]
    parts, short = [page, *([] for _ in range(workers - 1))], [item for item in rest if not is_long(item)]
    for _, long in groupby(filter(is_long, rest), key=lambda item: item.path):
        min(parts[::-1], key=len).extend(long)
    share = -(-len(items) // workers)
    for part in parts:
        missing = max(share - len(part), 0)
        part.extend(short[:missing])
        del short[:missing]
    return [*(item for part in parts for item in part), *short]


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    for item in items:
        if BROWSERS & set(getattr(item, "fixturenames", ())):
            item.add_marker("browser")
    if not config.getoption("--full"):
        named = {Path(word.partition("::")[0]).resolve() for word in config.args if ".py" in word}
        later = [item for item in items if item.path not in named and is_long(item)]
        config.hook.pytest_deselected(items=later)
        items[:] = [item for item in items if item not in set(later)]
    workers = getattr(config, "workerinput", {}).get("workercount", 1)
    if workers > 1:
        items[:] = dealt(items, workers)


def _processor_seconds() -> float:
    spent = os.times()
    return spent.user + spent.system + spent.children_user + spent.children_system


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None]:
    begun = _processor_seconds()
    try:
        return (yield)
    finally:
        item.user_properties.append((SPENT, _processor_seconds() - begun))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Name what is too long for the quick tier and has no mark that keeps it out: told, not judged."""
    if config.getoption("--full"):
        return
    for report in terminalreporter.getreports("passed"):
        spent = dict(report.user_properties).get(SPENT, 0)
        if report.when == "call" and spent > LONG and not set(LATER) & set(report.keywords):
            terminalreporter.write_line(f"{spent:.1f} s, mark it slow or search: {report.nodeid}")
