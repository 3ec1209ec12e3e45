"""What feeds a load through one bridge must have one phase; said the same way wherever it is asked."""

from __future__ import annotations

from geometry.layout import Layout
from geometry.toml_lines import line_of
from geometry.toml_reading import Fault, FileFaults


def require_one_phase(layout: Layout, text: str, name: str) -> None:
    """Raise `FileFaults` for a layout of three phases; `text` and `name` are its file's."""
    if layout.phases != 1:
        message = f"must be 1 to feed a load through one bridge, was {layout.phases}"
        raise FileFaults((Fault(name, line_of(text, "winding.phases"), "winding.phases", message),))
