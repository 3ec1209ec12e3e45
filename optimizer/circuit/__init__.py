"""Circuit: what rectifiers and loads make of a winding, in the steady state."""

__all__ = [
    "bridge_battery",
    "diodes",
    "load",
    "load_hazard",
    "load_point",
    "loads",
    "supercapacitor",
    "thevenin",
    "usb_converter",
]
