"""What the machine does, and which machine is best.

The names of the library face load what they need when they are first used, so that the command line starts fast.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

_FACE = {
    "read_brief": "optimizer.brief",
    "brief_from_text": "optimizer.brief",
    "read_layout": "geometry.layout_file",
    "layout_text": "geometry.layout_file",
    "evaluate": "optimizer.evaluation",
    "optimize": "optimizer.search",
}

__all__ = ["brief_from_text", "evaluate", "layout_text", "optimize", "read_brief", "read_layout"]  # pyright: ignore[reportUnsupportedDunderAll]


def __getattr__(name: str) -> Any:
    if name in _FACE:
        return getattr(import_module(_FACE[name]), name)
    raise AttributeError(f"module 'optimizer' has no attribute {name!r}")
