"""The layout of a file that must fit: what it breaks is told with its line."""

from __future__ import annotations

import os

from geometry.files.lines import line_of
from geometry.files.reading import Fault, FileFaults, read_text
from geometry.fit.rules import violations
from geometry.machine.layout import Layout
from geometry.machine.layout_file import layout_from_text


def read_fitting_layout(path: str | os.PathLike[str]) -> Layout:
    """The layout of a file, read once. Raises FileFaults with every fault in it, or every limit that it breaks."""
    return fitting_layout_from_text(read_text(path), os.fspath(path))


def fitting_layout_from_text(text: str, name: str) -> Layout:
    """The layout that `text` holds, which fits. Raises FileFaults, for each limit that it breaks with its line."""
    layout = layout_from_text(text, name)
    if found := violations(layout):
        raise FileFaults(tuple(Fault(name, line_of(text, m.key), m.key, m.message) for m in found))
    return layout
