"""Files appear whole or not at all."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest

from optimizer.jobs import output
from optimizer.jobs.output import OutputFault, check_folder, write_file, write_folder

FILES = {"a.txt": b"a", "plots/b.txt": b"b"}


def everything(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_a_new_folder_appears_with_all_its_files(tmp_path: Path) -> None:
    write_folder(tmp_path / "deep" / "out", FILES)
    assert everything(tmp_path) == {f"deep/out/{name}": content for name, content in FILES.items()}
    assert (tmp_path / "deep" / "out").stat().st_mode & 0o077 == 0o077 & ~_umask()


def test_an_old_folder_keeps_its_other_files(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "mine.txt").write_text("mine")
    (tmp_path / "out" / "a.txt").write_text("old")
    write_folder(tmp_path / "out", FILES)
    assert everything(tmp_path / "out") == {**FILES, "mine.txt": b"mine"}


@pytest.mark.parametrize("error", [KeyboardInterrupt, OSError])
def test_nothing_is_left_when_writing_stops_halfway(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: type[BaseException]
) -> None:
    write = Path.write_bytes

    def stopped(self: Path, content: bytes) -> int:
        if self.name == "b.txt":
            raise error
        return write(self, content)

    monkeypatch.setattr(Path, "write_bytes", stopped)
    with pytest.raises((KeyboardInterrupt, OutputFault)):
        write_folder(tmp_path / "out", FILES)
    assert list(tmp_path.iterdir()) == []


def test_ctrl_c_while_files_move_into_place_waits_for_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "out").mkdir()
    replace = os.replace

    def interrupted(source: Path, target: Path) -> None:
        os.kill(os.getpid(), signal.SIGINT)
        replace(source, target)

    monkeypatch.setattr(output.os, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_folder(tmp_path / "out", FILES)
    assert everything(tmp_path) == {f"out/{name}": content for name, content in FILES.items()}


def test_a_file_is_replaced_whole(tmp_path: Path) -> None:
    path = tmp_path / "f.json"
    path.write_text("{old}")
    write_file(path, b"{new}", "--filaments", b"{")
    assert everything(tmp_path) == {"f.json": b"{new}"}


def test_faults_name_the_option_and_the_path(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(OutputFault, match=r"^--out: must be a folder, was the file .*file$"):
        check_folder(tmp_path / "file")
    with pytest.raises(OutputFault, match=r"^--out: must be inside a folder, but .*file is a file$"):
        check_folder(tmp_path / "file" / "deeper" / "out")
    with pytest.raises(OutputFault, match=r"^--filaments: must be a file, was the folder "):
        write_file(tmp_path, b"", "--filaments", b"")
    with pytest.raises(
        OutputFault, match=r"^--filaments: cannot write .*no/such: No such file or directory$"
    ):
        write_file(tmp_path / "no" / "such", b"", "--filaments", b"")


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
