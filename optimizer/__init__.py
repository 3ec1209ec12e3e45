"""What the machine does, and which machine is best.

The names of the library face load what they need when they are first used, so that the command line starts fast.
No module of this package carries one of those names: importing a module would put it in the function's place.
"""

from __future__ import annotations

from importlib import import_module

TYPE_CHECKING = False  # as typing has it, which takes a while to import
if TYPE_CHECKING:
    from geometry.machine.layout_file import layout_text, read_layout
    from optimizer.brief.brief import brief_from_text, read_brief
    from optimizer.evaluation.chain import evaluate
    from optimizer.jobs.documents import __version__
    from optimizer.search.search import optimize

__all__ = [
    "__version__", "brief_from_text", "evaluate", "layout_text", "optimize", "read_brief", "read_layout",
]  # fmt: skip

_HOME = {
    "__version__": "optimizer.jobs.documents",
    "brief_from_text": "optimizer.brief.brief",
    "evaluate": "optimizer.evaluation.chain",
    "layout_text": "geometry.machine.layout_file",
    "optimize": "optimizer.search.search",
    "read_brief": "optimizer.brief.brief",
    "read_layout": "geometry.machine.layout_file",
}


def __getattr__(name: str) -> object:
    if name in _HOME:
        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module 'optimizer' has no attribute {name!r}")
