"""Writing results: a folder or a file appears whole or not at all, Ctrl-C included.

Every command loads this, help too: what only writing needs is loaded by it.
"""

from __future__ import annotations

import os
import signal
from collections.abc import Generator, Iterable, Mapping
from contextlib import contextmanager
from pathlib import Path


class OutputFault(Exception):  # noqa: N818 - told to the person, not a failure of ours
    """An output that cannot be written; the message names it and says why."""


def check_folder(folder: Path) -> None:
    """Make sure, before any work, that files can be written into `folder`; makes nothing that stays."""
    if folder.exists() and not folder.is_dir():
        raise OutputFault(f"--out: must be a folder, was the file {folder}")
    existing = next(parent for parent in (folder, *folder.absolute().parents) if parent.exists())
    if not existing.is_dir():
        raise OutputFault(f"--out: must be inside a folder, but {existing} is a file")
    if not os.access(existing, os.W_OK | os.X_OK):
        raise OutputFault(f"--out: must be a folder that can be written, but {existing} cannot")


def check_places(folder: Path, names: Iterable[str]) -> None:
    """Make sure that each file of `names` (name, or name/in/subfolder) has its place in `folder`; makes nothing."""
    for name in names:
        target = folder / name
        if target.is_dir():
            raise OutputFault(
                f"--out: {target} must be a file, was a folder; move it away, or name another folder"
            )
        for parent in (target.parent, *target.parent.parents):
            if parent.exists():
                if not parent.is_dir():
                    raise OutputFault(
                        f"--out: {parent} must be a folder, was a file; move it away, or name another folder"
                    )
                if not os.access(parent, os.W_OK | os.X_OK):
                    raise OutputFault(f"--out: {parent} must be a folder that can be written, but it cannot")
                break


def write_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Put `files` (name, or name/in/subfolder, to bytes) into `folder`, all or, should anything fail, none of them.

    Files of other names that are there already stay.
    """
    import shutil
    import tempfile

    check_places(folder, files)
    with _told("--out", folder):
        folder.parent.mkdir(parents=True, exist_ok=True)
        staging = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
        try:
            for name, content in files.items():
                target = staging / name
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(content)
            with _uninterrupted():
                _move(staging, folder, files)
        finally:
            shutil.rmtree(staging, ignore_errors=True)


def write_file(path: Path, content: bytes, option: str, mark: bytes) -> None:
    """Write one file, whole or not at all; `option` names the command-line option it came from.

    mark: how such a file begins. One that is there and begins otherwise is somebody else's, and stays.
    """
    import tempfile

    with _told(option, path):
        if path.is_dir():
            raise OutputFault(f"{option}: must be a file, was the folder {path}")
        if path.is_file() and not _begins(path, mark):
            raise OutputFault(
                f"{option}: must be a new file or one of the same kind, but {path} holds something else; name another"
            )
        handle, staged = tempfile.mkstemp(prefix=f".{path.name}-", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(content)
            _readable(Path(staged), 0o666)
            os.replace(staged, path)
        finally:
            Path(staged).unlink(missing_ok=True)


def _begins(path: Path, mark: bytes) -> bool:
    with path.open("rb") as file:
        return file.read(len(mark)) in (mark, b"")


def _move(staging: Path, folder: Path, files: Mapping[str, bytes]) -> None:
    if not folder.exists():
        _readable(staging, 0o777)
        staging.rename(folder)
        return
    for name in files:
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        os.replace(staging / name, target)


def _readable(path: Path, mode: int) -> None:
    """The permissions that a plainly made file or folder would have."""
    mask = os.umask(0)
    os.umask(mask)
    path.chmod(mode & ~mask)


@contextmanager
def _told(option: str, path: Path) -> Generator[None]:
    try:
        yield
    except OSError as error:
        raise OutputFault(f"{option}: cannot write {path}: {error.strerror or error}") from error


@contextmanager
def _uninterrupted() -> Generator[None]:
    """Hold Ctrl-C back for the instant in which finished files are moved into place."""
    held: list[int] = []
    try:
        before = signal.signal(signal.SIGINT, lambda number, _: held.append(number))
    except ValueError:  # not in the main thread: Ctrl-C does not come here
        yield
        return
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
    if held:
        raise KeyboardInterrupt
