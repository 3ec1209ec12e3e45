"""Files of the panel Use: those that the command line reads to say the same, and those that it writes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TypedDict

from optimizer.answers.flat import file_of_flat
from optimizer.answers.rewound import entries_of
from optimizer.answers.simulation import Usage, Used, usage_of
from optimizer.answers.task import Tell, Told
from optimizer.loads.load_file import load_text
from optimizer.motors.rewinding import RewindBrief, pick, sweep
from optimizer.reports.compare_report import compare_files
from optimizer.reports.rewind_report import rewind_files
from optimizer.rigs.rig_file import rig_text

HEADING = "A salvaged motor as measured, and what to make of it. Keys that end in _mm are millimetres."


class UsedFile(TypedDict):
    """A name of `USE_NAMES`, and the values that the file is made from."""

    name: str
    used: Used


def take_used(wanted: UsedFile, tell: Tell) -> bytes:
    """The bytes of one file. Raises `Told` when it cannot be made."""
    del tell
    return USE_NAMES[wanted["name"]](usage_of(wanted["used"]), wanted["used"])


def _load_file(usage: Usage, used: Used) -> bytes:
    del used
    return load_text(usage.load).encode()


def _rig_file(usage: Usage, used: Used) -> bytes:
    del used
    if usage.rig is None:
        raise Told([("", "tick “turned by hand through a rig” first")])
    try:
        return rig_text(usage.rig).encode()
    except ValueError as error:
        raise Told([("", str(error))]) from error


def _motor_file(usage: Usage, used: Used) -> bytes:
    _motor_of(usage)
    return file_of_flat(used["motor"], "motor", HEADING).encode()


def _of_rewind(name: str) -> Callable[[Usage, Used], bytes]:
    """One of the files that `polepitch rewind --load --out` writes."""

    def made(usage: Usage, used: Used) -> bytes:
        del used
        brief = replace(_motor_of(usage), load=usage.load)
        options = sweep(brief)
        return rewind_files(brief, options, pick(options))[name]

    return made


def _of_compare(name: str) -> Callable[[Usage, Used], bytes]:
    """One of the files that `polepitch compare --load --out` writes, with the rig if there is one."""

    def made(usage: Usage, used: Used) -> bytes:
        del used
        entries = entries_of(usage.layout, _motor_of(usage), usage.load, usage.rig)
        return compare_files(entries, usage.load, usage.rig, usage.layout.speed_rpm)[name]

    return made


def _motor_of(usage: Usage) -> RewindBrief:
    if usage.motor is None:
        raise Told([("", "tick “a rewound motor beside it” first")])
    return usage.motor


USE_NAMES: dict[str, Callable[[Usage, Used], bytes]] = {
    "motor.toml": _motor_file,
    "load.toml": _load_file,
    "rig.toml": _rig_file,
    **{name: _of_rewind(name) for name in ("rewind.html", "rewind.json", "sweep.csv")},
    **{name: _of_compare(name) for name in ("compare.html", "compare.json", "compare.csv")},
}
