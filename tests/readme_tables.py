"""README's tables of keys, made from the tables that read the files.

`PYTHONPATH=.:tests python -m readme_tables` writes them into README after a change of keys.
"""

import re
from collections.abc import Iterator
from pathlib import Path

from geometry.files.key_tables import Table
from geometry.files.schema import KeyEntry, key_entries
from geometry.machine.layout_file import LayoutTable
from optimizer.brief.brief import BriefTable
from optimizer.circuit.loads import KINDS
from optimizer.loads.load_file import LoadTable, keys_of
from optimizer.motors.motor_tables import SpecTable
from optimizer.rigs.rig_file import RigTable
from optimizer.words.key_words import values

README = Path(__file__).parents[1] / "README.md"
SECTIONS = {
    "The brief": BriefTable, "The load": LoadTable, "The layout": LayoutTable,
    "The rig": RigTable, "The motor": SpecTable,
}  # fmt: skip


def tables() -> Iterator[tuple[str, str]]:
    """Each section's heading and the table of keys that stands in it; the load's kinds too."""
    for section, table in SECTIONS.items():
        yield section, readme_table(table)
    yield "The load", kinds_table()


def readme_table(table: type[Table]) -> str:
    """README's table of a file's keys."""
    rows = [f"| `{e.name}` | {e.meaning} | {values(e)} | {absence(e)} |" for e in key_entries(table, apart=True)]
    return "\n".join(["| key | meaning | values | default |", "|---|---|---|---|", *rows]) + "\n"


def absence(entry: KeyEntry) -> str:
    """What the key's absence means."""
    if entry.usual:
        return entry.usual
    if entry.required:
        return f"required in `[{entry.name.rpartition('.')[0]}]`" if entry.optional_table else "required"
    return "none" if entry.default is None else written(entry.default)


def written(value: object) -> str:
    """A default as the file writes it, marked as code unless it is a plain number."""
    if isinstance(value, str | list):
        return f"`{value}`" if isinstance(value, list) else f'`"{value}"`'
    return f"{value:g}" if isinstance(value, float) else str(value)


def kinds_table() -> str:
    """What each kind of load needs and may have."""
    rows = [
        f'| `"{kind}"` | {", ".join(f"`{key}`" for key in must)} | {", ".join(f"`{key}`" for key in may)} |'
        for kind in KINDS
        for must, may in [keys_of(kind)]
    ]
    return "\n".join(["| `kind` | needs | may have |", "|---|---|---|", *rows]) + "\n"


def with_tables(readme: str) -> str:
    """The README's text with its tables of keys as they are to be."""
    for section, table in tables():
        head = re.escape(table.split("\n", 1)[0])
        pattern = re.compile(rf"(## {section}\n(?:(?!## ).*\n)*?){head}\n(?:\|.*\n)*")
        readme, found = pattern.subn(lambda match, table=table: match[1] + table, readme)
        assert found == 1, f"no table of keys in the section {section}"
    return readme


if __name__ == "__main__":
    README.write_text(with_tables(README.read_text("utf-8")), encoding="utf-8")
