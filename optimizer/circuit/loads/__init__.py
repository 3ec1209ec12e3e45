"""The kinds of load, one file each, each answering for itself (`load.Load`); a new one is its file and a row here."""

from optimizer.circuit.loads.bridge_battery import BridgeBattery
from optimizer.circuit.loads.bridge_capacitor import BridgeCapacitor
from optimizer.circuit.loads.bridge_resistor import BridgeResistor
from optimizer.circuit.loads.led import Led
from optimizer.circuit.loads.load import Load
from optimizer.circuit.loads.open_circuit import OpenCircuit
from optimizer.circuit.loads.resistor import Resistor
from optimizer.circuit.loads.supercapacitor import Supercapacitor
from optimizer.circuit.loads.usb_converter import UsbConverter

KINDS: dict[str, type[Load]] = {
    "open": OpenCircuit,
    "resistor": Resistor,
    "bridge-resistor": BridgeResistor,
    "bridge-capacitor": BridgeCapacitor,
    "bridge-battery": BridgeBattery,
    "led": Led,
    "supercapacitor": Supercapacitor,
    "usb": UsbConverter,
}  # by the name in a file


def kind_of(load: Load) -> str:
    """The kind of a load as a file names it."""
    return next(name for name, kind in KINDS.items() if type(load) is kind)
