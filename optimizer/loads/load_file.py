"""The load file: a `[load]` table in TOML; the same table may stand in a brief or in a rig."""

from __future__ import annotations

import os
from decimal import Decimal
from typing import Annotated

from geometry.files.key_tables import (
    Earlier,
    Table,
    choice,
    key,
    presence,
    quantity,
    refuse,
    refuse_table,
    rule,
)
from geometry.files.reading import read_text, table_from_text
from geometry.files.values import decimal_of, shown
from geometry.files.writing import Row, micro_row, plain_row, toml_text
from optimizer.circuit.diodes import DIODES, Diode, Drop
from optimizer.circuit.loads import (
    BridgeBattery,
    BridgeCapacitor,
    BridgeResistor,
    Load,
    OpenCircuit,
    Resistor,
    UsbConverter,
)

HEADING = "A load: what the winding feeds. Volts, ohms, watts; capacitance in microfarads."
USUAL_DIODE = "silicon"
_DIODE = ("diode", "drop_V")

# kind: keys that must be given, keys that may be
KINDS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "open": ((), ()),
    "resistor": (("resistance_ohm",), ()),
    "bridge-resistor": (("resistance_ohm",), _DIODE),
    "bridge-capacitor": (("resistance_ohm", "capacitance_uF"), _DIODE),
    "bridge-battery": (("voltage_V",), ("internal_ohm", *_DIODE)),
    "usb": (("least_input_V", "efficiency"), ("output_V", "most_W", "most_input_V", *_DIODE)),
}
NAMES = {
    "open": "open circuit",
    "resistor": "resistor straight across the winding",
    "bridge-resistor": "bridge into a resistor",
    "bridge-capacitor": "bridge into a smoothed resistor",
    "bridge-battery": "bridge into a sink of constant voltage",
    "usb": "bridge into a converter",
}


class LoadTable(Table):
    """A load as a file states it."""

    kind: Annotated[str, choice(KINDS)] = key("kind", meaning="what the winding feeds", label="Load")
    resistance: Annotated[float | None, quantity(minimum="0.001", maximum="1000000000")] = key(
        "resistance_ohm",
        None,
        meaning="what the direct current, or the winding's own, flows through",
        usual="required by its kind",
        example="20",
    )
    capacitance: Annotated[float | None, quantity(minimum="0.1", maximum="1000000000", micro=True)] = key(
        "capacitance_uF",
        None,
        meaning="of the smoothing capacitor",
        usual="required by its kind",
        example="1000",
    )
    voltage: Annotated[float | None, quantity(minimum="0.1", maximum="1000")] = key(
        "voltage_V",
        None,
        meaning="of the battery or other sink of constant voltage",
        usual="required by its kind",
        example="5",
    )
    internal: Annotated[float | None, quantity(minimum="0", maximum="1000000")] = key(
        "internal_ohm", None, meaning="of the battery", label="Internal resistance", usual="0"
    )
    least_input: Annotated[float | None, quantity(minimum="0.1", maximum="1000")] = key(
        "least_input_V",
        None,
        meaning="least at which the converter works",
        usual="required by its kind",
        label="Input, at least",
        example="4",
    )
    efficiency: Annotated[
        float | None, quantity(positive=True, maximum="1", hint="a share, not a percentage")
    ] = key("efficiency", None, meaning="of the converter", usual="required by its kind", example="0.85")
    output: Annotated[float | None, quantity(minimum="0.1", maximum="1000")] = key(
        "output_V", None, meaning="of the converter", usual="5", example="5"
    )
    most_watts: Annotated[float | None, quantity(positive=True, maximum="100000")] = key(
        "most_W",
        None,
        meaning="most that the converter gives",
        label="Power, at most",
        usual="5",
        example="10",
    )
    most_input: Annotated[float | None, quantity(minimum="0.1", maximum="1000")] = key(
        "most_input_V",
        None,
        meaning="that its input bears: see its data sheet (5.5 V of many small ones)",
        label="Input bears, at most",
        usual="not known",
    )
    diode: Annotated[str | None, choice(DIODES)] = key(
        "diode",
        None,
        meaning='kind of each diode: `"silicon"` and `"schottky"` follow their law, `"ideal"` drops nothing',
        label="Diodes",
        usual='`"silicon"`',
        example="schottky",
    )
    drop: Annotated[float | None, quantity(minimum="0", maximum="5")] = key(
        "drop_V", None, meaning="constant drop of each, in place of `diode`", label="Drop of a diode"
    )

    @presence(
        "resistance", "capacitance", "voltage", "internal", "least_input", "efficiency", "output",
        "most_watts", "most_input", "diode", "drop",
    )  # fmt: skip
    @staticmethod
    def _belongs(value: object, earlier: Earlier) -> None:
        kind = earlier.data.get("kind")
        if kind is None:
            return
        name = LoadTable.model_fields[str(earlier.field_name)].alias
        must, may = KINDS[kind]
        if value is None and name in must:
            refuse_table(f'{name} must be given for kind "{kind}", was missing')
        if value is not None and name not in (*must, *may):
            refuse(f'be left out for kind "{kind}"', shown(value))
        if name == "drop_V" and value is not None and earlier.data.get("diode", "a wrong one") is not None:
            refuse("be left out when diode is given", shown(value))

    @rule("most_input")
    @classmethod
    def _above_the_least(cls, maximum: float | None, earlier: Earlier) -> float | None:
        minimum = earlier.data.get("least_input")
        if maximum is not None and minimum is not None and maximum <= minimum:
            refuse(f"be above least_input_V ({minimum:g})", f"{maximum:g}")
        return maximum


class _File(Table):
    load: LoadTable = key("load")


def read_load(path: str | os.PathLike[str]) -> Load:
    """The load of a file. Raises FileFaults with every fault in it."""
    return load_from_text(read_text(path), os.fspath(path))


def load_from_text(text: str, name: str) -> Load:
    """The load that `text` holds; `name` stands for the file in messages. Raises FileFaults."""
    return load_of(table_from_text(text, name, _File).load)


def load_of(table: LoadTable) -> Load:
    """The load of a valid table."""
    drop = DIODES[table.diode or USUAL_DIODE] if table.drop is None else table.drop
    ohms = table.resistance or 0.0
    match table.kind:
        case "resistor":
            return Resistor(ohms=ohms)
        case "bridge-resistor":
            return BridgeResistor(ohms=ohms, drop=drop)
        case "bridge-capacitor":
            return BridgeCapacitor(ohms=ohms, farads=table.capacitance or 0.0, drop=drop)
        case "bridge-battery":
            return BridgeBattery(volts=table.voltage or 0.0, ohms=table.internal or 0.0, drop=drop)
        case "usb":
            return _converter(table, drop)
        case _:
            return OpenCircuit()


def _converter(table: LoadTable, drop: Drop) -> UsbConverter:
    usual = {"output": table.output, "most_watts": table.most_watts, "most_input": table.most_input}
    given = {name: value for name, value in usual.items() if value is not None}
    assert table.least_input is not None
    assert table.efficiency is not None
    return UsbConverter(least_input=table.least_input, efficiency=table.efficiency, drop=drop, **given)


def kind_of(load: Load) -> str:
    """The kind of a load as the file names it."""
    match load:
        case Resistor():
            return "resistor"
        case BridgeResistor():
            return "bridge-resistor"
        case BridgeCapacitor():
            return "bridge-capacitor"
        case BridgeBattery():
            return "bridge-battery"
        case UsbConverter():
            return "usb"
        case OpenCircuit():
            return "open"


def load_rows(load: Load) -> list[Row]:
    """The `[load]` table of a load."""
    rows: list[Row] = [("kind", kind_of(load), ", ".join(KINDS))]
    match load:
        case Resistor() | BridgeResistor():
            rows.append(plain_row("resistance_ohm", load.ohms))
        case BridgeCapacitor():
            rows += [
                plain_row("resistance_ohm", load.ohms),
                micro_row("capacitance_uF", load.farads),
            ]
        case BridgeBattery():
            rows += [plain_row("voltage_V", load.volts), plain_row("internal_ohm", load.ohms)]
        case UsbConverter():
            rows += [plain_row("least_input_V", load.least_input), plain_row("efficiency", load.efficiency)]
            rows += [plain_row("output_V", load.output), plain_row("most_W", load.most_watts)]
            rows.append(
                plain_row("most_input_V", load.most_input, "that its input bears; left out: not known")
            )
        case OpenCircuit():
            pass
    if not isinstance(load, OpenCircuit | Resistor):
        rows.append(_drop_row(load.drop))
    return rows


def _drop_row(drop: Drop) -> Row:
    if isinstance(drop, Diode):
        return ("diode", drop.name, f"{', '.join(DIODES)}; or drop_V of one diode")
    return ("drop_V", decimal_of(drop), "of one diode; or diode = a kind of diode")


def load_document(load: Load) -> dict[str, float | str]:
    """The `[load]` table of a load for JSON."""
    values = {key: value for key, value, _ in load_rows(load) if value is not None}
    return {key: float(value) if isinstance(value, Decimal) else str(value) for key, value in values.items()}


def load_text(load: Load) -> str:
    """The file of a load; the inverse of `load_from_text`."""
    return toml_text(HEADING, [], [("[load]", load_rows(load))])
