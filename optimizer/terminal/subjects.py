"""What a folder of ours is about, so that the files of two machines never lie mixed in one.

A folder tells it by the files that others of our commands read. One that means the same as what is to be written stays
as it is, comments and all; a machine or a brief that means something else is refused, and so is a rig or a load that
somebody wrote by hand.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from pathlib import Path

from geometry.files.reading import FileFaults, read_text
from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_from_text, layout_text
from optimizer.brief.brief import brief_from_text, brief_text
from optimizer.jobs.output import OutputFault, check_places
from optimizer.loads.load_file import load_from_text, load_text
from optimizer.rigs.rig_file import rig_from_text, rig_text

SUBJECTS: dict[str, tuple[str, Callable[[str, str], str]]] = {
    "layout.toml": ("machine", lambda text, name: layout_text(layout_from_text(text, name))),
    "brief.toml": ("brief", lambda text, name: brief_text(brief_from_text(text, name))),
    "rig.toml": ("rig", lambda text, name: rig_text(rig_from_text(text, name))),
    "load.toml": ("load", lambda text, name: load_text(load_from_text(text, name))),
}  # what it names, and its text as we would write it
MACHINES = frozenset({"layout.toml", "brief.toml"})  # what all other files of a folder follow from


def require_own(folder: Path, files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Those of `files` that are to be written into `folder`: all but subjects that are there and mean the same.

    Raises OutputFault where the folder is about something else, or has a file in a folder's place or the other way
    round; makes nothing.
    """
    check_places(folder, files)
    return {name: content for name, content in files.items() if not _is_there(folder / name, content)}


def require_no_other_layout(folder: Path | None, layouts: Collection[Layout] = ()) -> None:
    """Raise OutputFault where `folder` has the files of a machine that is none of `layouts`."""
    path = None if folder is None else folder / "layout.toml"
    if (
        path is not None
        and path.exists()
        and _meaning(path) not in {layout_text(layout) for layout in layouts}
    ):
        _refuse(path)


def _is_there(path: Path, content: bytes) -> bool:
    """Whether a subject stands at `path` already. Raises OutputFault where it is another."""
    if path.name not in SUBJECTS or not path.exists():
        return False
    meaning = _meaning(path)
    if meaning == content.decode():
        return True
    if path.name in MACHINES or meaning is None or path.read_bytes() != meaning.encode():
        _refuse(path)
    return False


def _meaning(path: Path) -> str | None:
    """A subject's file as we would write it; None where it cannot be read."""
    try:
        return SUBJECTS[path.name][1](read_text(path), str(path))
    except (FileFaults, ValueError):
        return None


def _refuse(path: Path) -> None:
    what = SUBJECTS[path.name][0]
    raise OutputFault(
        f"--out: must be a folder without files of another {what}, but {path.parent} holds those of the {what} in "
        f"{path.name}: name another folder, or empty this one first"
    )
