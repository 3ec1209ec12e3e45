"""The kinds of files that a person writes: the table that reads each, and an example that comes with the program."""

from __future__ import annotations

from importlib.resources import files

from geometry.files.key_tables import Table, key
from geometry.machine.layout_file import LayoutTable
from optimizer.brief.brief import BriefTable
from optimizer.brief.goal import PricesTable
from optimizer.loads.load_file import LoadFileTable
from optimizer.motors.motor_tables import SpecTable
from optimizer.rigs.rig_file import RigTable


class PricesFileTable(Table):
    """The whole file."""

    prices: PricesTable = key("prices")


FILE_KINDS: dict[str, type[Table]] = {
    "brief": BriefTable, "layout": LayoutTable, "load": LoadFileTable, "rig": RigTable, "motor": SpecTable,
    "prices": PricesFileTable,
}  # fmt: skip


def example_text(kind: str) -> str:
    """The example of a kind of file, as TOML. Raises KeyError for an unknown kind."""
    _ = FILE_KINDS[kind]
    return files("optimizer.starters").joinpath(f"{kind}.toml").read_text(encoding="utf-8")
