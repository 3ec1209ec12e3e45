"""Load files: round trips, defaults, and every fault in words."""

import pytest
from any_loads import any_loads
from hypothesis import given, settings
from tiers import examples

from geometry.files.reading import FileFaults
from optimizer.circuit.diodes import DIODES, SCHOTTKY, SILICON
from optimizer.circuit.loads import (
    BridgeBattery,
    BridgeCapacitor,
    BridgeResistor,
    OpenCircuit,
    Resistor,
    UsbConverter,
)
from optimizer.loads.load_file import load_from_text, load_text

LOADS = [
    OpenCircuit(),
    Resistor(ohms=12.5),
    BridgeResistor(ohms=3.3, drop=0.35),
    BridgeCapacitor(ohms=100.0, farads=470e-6, drop=0.8),
    BridgeBattery(volts=3.7, ohms=0.05, drop=0.35),
    UsbConverter(least_input=4.5, efficiency=0.85, drop=0.35, most_watts=2.5),
    UsbConverter(least_input=4.5, efficiency=0.85, drop=0.35, most_input=18.0),
    BridgeResistor(ohms=3.3, drop=SCHOTTKY),
    UsbConverter(least_input=4.5, efficiency=0.85, drop=SILICON, most_watts=2.5),
]


@pytest.mark.parametrize("load", LOADS, ids=lambda load: type(load).__name__)
def test_what_was_written_is_read(load):
    assert load_from_text(load_text(load), "load") == load


@settings(max_examples=examples(300), deadline=None)
@given(any_loads())
def test_every_number_comes_back_exactly(load):
    assert load_from_text(load_text(load), "load") == load


def test_diodes_by_name_and_by_default():
    text = '[load]\nkind = "bridge-resistor"\nresistance_ohm = 10\n'
    assert load_from_text(text, "load").drop == DIODES["silicon"] == SILICON
    assert load_from_text(text + 'diode = "schottky"', "load").drop == SCHOTTKY
    assert load_from_text(text + 'diode = "ideal"', "load").drop == 0
    assert load_from_text(text + "drop_V = 0.3", "load").drop == 0.3


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('kind = "lamp"', 'load.kind: must be one of open, resistor, bridge-resistor'),
        ('kind = "resistor"', 'resistance_ohm must be given for kind "resistor", was missing'),
        ('kind = "resistor"\nresistance_ohm = 0', "load.resistance_ohm: must be at least 0.001, was 0"),
        ('kind = "resistor"\nresistance_ohm = 5\nvoltage_V = 3',
         'voltage_V: must be left out for kind "resistor", was 3'),
        ('kind = "usb"\nleast_input_V = 4\nefficiency = 85', "must be at most 1 (a share, not a percentage), was 85"),
        ('kind = "usb"\nleast_input_V = 6\nefficiency = 0.9\nmost_input_V = 5.5',
         "load.most_input_V: must be above least_input_V (6), was 5.5"),
        ('kind = "bridge-battery"\nvoltage_V = 4\nmost_input_V = 12',
         'most_input_V: must be left out for kind "bridge-battery", was 12'),
        ('kind = "bridge-battery"\nvoltage_V = 4\ndiode = "tube"', "diode: must be one of silicon, schottky, ideal"),
        ('kind = "bridge-battery"\nvoltage_V = 4\ndiode = "ideal"\ndrop_V = 1',
         "drop_V: must be left out when diode is given, was 1"),
        ('kind = "led"\nforward_V = 9', 'dynamic_ohm must be given for kind "led", was missing'),
        ('kind = "led"\nforward_V = 0\ndynamic_ohm = 5', "load.forward_V: must be at least 0.1, was 0"),
        ('kind = "led"\nforward_V = 9\ndynamic_ohm = 5\nstrings = 1.5', "load.strings: must be"),
        ('kind = "supercapacitor"\ncapacitance_F = 1\nfrom_V = 3\nto_V = 2', "to_V: must be above from_V (3)"),
        ('kind = "supercapacitor"\nfrom_V = 0\nto_V = 2', 'capacitance_F must be given for kind "supercapacitor"'),
        ('kind = "open"\ndoide = "silicon"', "load.doide: unknown key; did you mean diode?"),
    ],
)  # fmt: skip
def test_faults(text, words):
    with pytest.raises(FileFaults) as faults:
        load_from_text("[load]\n" + text, "my.toml")
    assert words in str(faults.value)
    assert str(faults.value).startswith("my.toml:")


def test_every_fault_at_once():
    with pytest.raises(FileFaults) as faults:
        load_from_text('[load]\nkind = "bridge-capacitor"\nresistance_ohm = "5"\nvoltage_V = 2', "my.toml")
    assert len(faults.value.faults) == 3
