"""`polepitch` as a person calls it, in this process and in one of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from optimizer.cli import main

ROOT = Path(__file__).parents[2]
LANTERN = ROOT / "studies" / "lantern" / "brief.toml"


def run(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], *words: object
) -> tuple[int, str, str]:
    """Exit code, standard output and standard error of `polepitch WORDS`."""
    monkeypatch.setattr(sys, "argv", ["polepitch", *map(str, words)])
    try:
        main()
        code = 0
    except SystemExit as left:
        code = int(left.code or 0)
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def process(*words: object, seed: int = 0, **options: object) -> subprocess.Popen[str]:
    """`polepitch WORDS` in a process of its own."""
    command = [sys.executable, "-c", "import optimizer.cli; optimizer.cli.main()", *map(str, words)]
    environment = os.environ | {"PYTHONHASHSEED": str(seed), "PYTHONPATH": str(ROOT)}
    return subprocess.Popen(command, env=environment, text=True, **options)  # type: ignore[call-overload]
