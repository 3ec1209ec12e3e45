"""A key of a file in words, from its own table: what it means, which values it may have, what its absence means."""

from __future__ import annotations

from geometry.files.schema import KeyEntry

ALSO = "Lines that begin with # and a key are what it may also hold: take the # away, fill in the value."


def values(entry: KeyEntry) -> str:
    """The values that a key may have."""
    each = "each " if entry.repeated and entry.says["type"] != "object" else ""
    if entry.choices:
        return each + ", ".join(f'`"{name}"`' for name in entry.choices)
    if entry.says["type"] in ("string", "object"):
        return "text" if entry.says["type"] == "string" else "a table"
    low, high = entry.says.get("minimum"), entry.says["maximum"]
    start = "above 0" if low is None else f"{low:,.10g}".replace("-", "−")
    return f"{each}{start} to {high:,.10g} {entry.unit}".rstrip()


def also_words(entry: KeyEntry) -> str:
    """What a key means, may be and stands for when it is left out, on one line without marks of code."""
    if entry.says["type"] == "object":
        return entry.meaning.replace("`", "")
    usual = entry.usual if entry.default is None else ""
    if usual and not usual.startswith(("this or", "required")):
        usual = f"without it {usual}"
    return "; ".join(part for part in (entry.meaning, values(entry), usual) if part).replace("`", "")


STARTS = {
    "brief": "polepitch optimize {} --out DIR",
    "layout": "polepitch evaluate {}",
    "load": "polepitch load LAYOUT --load {}",
    "rig": "polepitch drive LAYOUT {}",
    "motor": "polepitch rewind {}",
    "prices": "polepitch compare LAYOUT MOTOR --prices {}",
}
"""The command that reads each kind of file."""


def begun_words(kind: str, file: str) -> str:
    """What was written, and the command that runs it as it is."""
    return f"wrote {file}; it runs as it is: {STARTS[kind].format(file)}"
