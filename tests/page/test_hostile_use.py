"""Values of loads and rigs as no form would send them: used, or clearly refused."""

from __future__ import annotations

import json
from collections.abc import Iterator

import httpx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_hostile import FAST, JSON, START, numbers, odd_texts, refused
from tiers import examples


@pytest.fixture(scope="module")
def client(address: str) -> Iterator[httpx.Client]:
    """Somebody who speaks HTTP."""
    with httpx.Client(base_url=address, timeout=60) as made:
        yield made


RIG_KEYS = [
    *START["rig"], "mechanism.crank.arm_mm", "mechanism.spin.radius_mm", "mechanism", "gears.1.driver_teeth", "gears",
    "gears.99999999999999999999.efficiency", "mover", "flywheel.inertia_kg_m2", "load.kind", "charge.energy_Wh",
    "rig.rig",
]  # fmt: skip
USED = {"design": START["design"], "load": {"load.kind": "resistor", "load.resistance_ohm": "20"}, "motor": {}}


@pytest.mark.slow
@settings(FAST, max_examples=examples(40))
@given(
    values=st.dictionaries(st.sampled_from(RIG_KEYS), odd_texts | numbers, min_size=1, max_size=3),
    name=st.sampled_from(["", "rig.toml", "load.toml"]),
)
def test_any_values_of_a_rig_are_used_or_refused(client: httpx.Client, values: dict[str, str], name: str):
    content = USED | {"rig": START["rig"] | values} | ({"name": name} if name else {})
    answer = client.post("/download_simulated" if name else "/simulate", content=json.dumps(content), headers=JSON)
    if answer.status_code != 200:
        refused(answer)
    assert "Traceback" not in answer.text
    assert "NaN" not in answer.text


@settings(FAST, max_examples=examples(40))
@given(
    values=st.dictionaries(
        st.sampled_from(
            ["load.kind", "load.resistance_ohm", "load.diode", "load.drop_V", "load", "load.load.kind"]
        ),
        odd_texts | st.sampled_from(["usb", "open", "bridge-battery", "bridge-capacitor"]),
        min_size=1,
    )
)
def test_any_values_of_a_load_are_used_or_refused(client: httpx.Client, values: dict[str, str]):
    three = START["design"] | {"winding.phases": "3", "winding.coils": "12", "winding.connection": "delta"}
    content = USED | {"design": three, "rig": {}, "load": USED["load"] | values}
    answer = client.post("/simulate", content=json.dumps(content), headers=JSON)
    if answer.status_code != 200:
        refused(answer)
    assert "NaN" not in answer.text


def test_only_known_files_of_the_panel_are_taken(client: httpx.Client):
    for name in ("../rig.toml", "/etc/passwd", "", "RIG.TOML", "rig.toml\0", "layout.toml"):
        assert client.post("/download_simulated", json=USED | {"rig": {}, "name": name}).status_code == 404
    for extra in ({"path": "x"}, {"load": []}, {"rig": {"a": 1}}, {"motor": None}):
        answer = client.post("/download_simulated", json=USED | {"rig": {}, "name": "load.toml"} | extra)
        refused(answer)


def test_a_rig_that_is_not_there_is_asked_for(client: httpx.Client):
    answer = client.post("/download_simulated", json=USED | {"rig": {}, "name": "rig.toml"})
    assert refused(answer)[0]["words"].startswith("tick")
