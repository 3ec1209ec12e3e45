"""Loads of every kind with any numbers that a file takes."""

from hypothesis import strategies as st

from optimizer.circuit.loads import (
    BridgeBattery,
    BridgeCapacitor,
    BridgeResistor,
    Led,
    Load,
    OpenCircuit,
    Resistor,
    Supercapacitor,
    UsbConverter,
)

OHMS, VOLTS, DROP = st.floats(0.001, 1e9), st.floats(0.1, 1000), st.floats(0, 5)
FARADS = st.floats(1e-7, 1e3, exclude_min=True)
SHARE, WATTS = st.floats(0, 1, exclude_min=True), st.floats(0, 1e5, exclude_min=True)


def any_loads() -> st.SearchStrategy[Load]:
    """Any load."""
    return (
        st.just(OpenCircuit())
        | st.builds(Resistor, ohms=OHMS)
        | st.builds(BridgeResistor, ohms=OHMS, drop=DROP)
        | st.builds(BridgeCapacitor, ohms=OHMS, farads=FARADS, drop=DROP)
        | st.builds(BridgeBattery, volts=VOLTS, ohms=st.floats(0, 1e6), drop=DROP)
        | st.builds(
            Led, forward_volts=VOLTS, dynamic_ohms=st.floats(0, 1e6), strings=st.integers(1, 10000), drop=DROP
        )
        | st.builds(
            Supercapacitor,
            farads=st.floats(0.001, 1e6),
            from_volts=st.floats(0, 10),
            to_volts=st.floats(10, 1000, exclude_min=True),
            ohms=st.floats(0, 1e6),
            drop=DROP,
        )
        | st.builds(
            UsbConverter,
            least_input=st.floats(0.1, 100),
            efficiency=SHARE,
            drop=DROP,
            output=VOLTS,
            most_watts=WATTS,
            most_input=st.none() | st.floats(100, 1000, exclude_min=True),
        )
    )
