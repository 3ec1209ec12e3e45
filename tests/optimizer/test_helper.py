"""The process that gets ready beside a search: its answers, its faults, its end."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest
from terminal import ROOT

CODE = """
import json, os, signal, sys, time
from optimizer.jobs.helper import helper

def prepare():
    return (lambda about: [f"{about}{k}" for k in range(9)]), work

def work(about, unit):
    if about == "killed":
        os.kill(os.getpid(), signal.SIGKILL)
    if about == "wrong" and unit == "wrong4":
        raise LookupError(unit)
    return unit.upper(), os.getpid()

seen = []
with helper(prepare) as beside:
    if beside is None:
        print(json.dumps(None))
        sys.exit()
    beside.ask(sys.argv[1])
    try:
        found = beside.results(lambda done, total: seen.append((done, total)))
    except (LookupError, ChildProcessError) as fault:
        found = {type(fault).__name__: [str(fault), 0]}
children = 0
try:
    os.waitpid(-1, os.WNOHANG)
except ChildProcessError:
    children = None
pids = {pid for _, pid in found.values()}
print(json.dumps([{name: value for name, (value, _) in found.items()}, seen, os.getpid() in pids, children]))
"""


def asked(about: str, cores: int = 2):
    """What a process with a helper prints of its answers; None without one."""
    if len(os.sched_getaffinity(0)) < cores:
        pytest.skip("one core")
    few = set(sorted(os.sched_getaffinity(0))[:cores])
    done = subprocess.run(
        [sys.executable, "-c", CODE, about], cwd=ROOT, capture_output=True, text=True, check=True, timeout=60,
        preexec_fn=lambda: os.sched_setaffinity(0, few),
    )  # fmt: skip
    assert done.stderr == ""
    return json.loads(done.stdout)


def test_answers_come_in_the_order_of_the_units_and_nothing_is_left_behind():
    answers, told, here, children = asked("u")
    assert list(answers.items()) == [(f"u{k}", f"U{k}") for k in range(9)]
    assert told == [[k, 9] for k in range(1, 10)]
    assert not here
    assert children is None


def test_a_fault_there_is_raised_here():
    assert asked("wrong")[0] == {"LookupError": "wrong4"}


def test_an_end_before_its_time_is_told():
    assert asked("killed")[0] == {"ChildProcessError": "ended after 0 of 0"}


def test_one_core_works_alone():
    assert asked("u", cores=1) is None
