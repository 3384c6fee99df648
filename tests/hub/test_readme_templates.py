"""The templates of the automations in the hubs' README, worked out as the hub does, state by state."""

from __future__ import annotations

import re
from typing import Any

import jinja2
import pytest
import yaml

from tests.hub.test_readme_yaml import BLOCKS, Loader

FIRE, CORE = "binary_sensor.heap_fire_risk", "sensor.heap_core"
MAY, AIR, PUMP = "input_boolean.heap_may_draw", "sensor.greenhouse_air", "switch.heap_pump"


def _is_number(text: str) -> bool:
    return re.fullmatch(r"-?\d+(\.\d+)?", text) is not None


def _number(text: str, otherwise: float) -> float:
    return float(text) if _is_number(text) else otherwise


def _automations() -> dict[str, dict[str, Any]]:
    read = [yaml.load(block, Loader) for block in BLOCKS]
    return {found["alias"]: found for block in read for found in block.get("automation", [])}


def _rendered(template: str, states: dict[str, str]) -> str:
    """What a template gives where these states are known and all others are not."""

    def state(entity: str) -> str:
        return states.get(entity, "unknown")

    hub = jinja2.Environment(autoescape=False)  # as the hub: numbers and names of services, no pages
    hub.filters["float"] = _number
    told = hub.from_string(template).render(
        states=state, is_number=_is_number, is_state=lambda entity, value: state(entity) == value
    )
    return told.strip()


@pytest.mark.parametrize(
    ("changed", "runs"),
    [
        ({}, True),
        ({AIR: "7.5"}, False),
        ({AIR: "7.5", PUMP: "on"}, True),
        ({AIR: "8.1", PUMP: "on"}, False),
        ({AIR: "20", CORE: "65"}, True),
        ({AIR: "20", CORE: "64.9"}, False),
        ({MAY: "off"}, False),
        ({MAY: "off", CORE: "70"}, False),
        ({MAY: "unavailable", CORE: "70"}, False),
        ({FIRE: "on"}, False),
        ({FIRE: "on", CORE: "78", PUMP: "on"}, False),
        ({FIRE: "unavailable", CORE: "70", PUMP: "on"}, False),
        ({AIR: "unknown"}, False),
        ({AIR: "unavailable", PUMP: "on"}, False),
        ({CORE: "unavailable"}, True),
        ({CORE: "unavailable", AIR: "20"}, False),
    ],
)
def test_the_pump_runs_while_the_house_wants_heat_or_the_heap_must_cool(changed: dict[str, str], runs: bool) -> None:
    """Fire risk, or nothing known of it, keeps the pump off whatever else is known; so does a plan at rest."""
    states = {FIRE: "off", CORE: "48", MAY: "on", AIR: "5", PUMP: "off"} | changed
    template = _automations()["Heap pump while the house wants heat"]["action"][0]["service"]
    assert _rendered(template, states) == ("switch.turn_on" if runs else "switch.turn_off")


@pytest.mark.parametrize(
    ("changed", "goes_on", "goes_off"),
    [
        ({}, True, False),
        ({CORE: "34"}, False, False),
        ({CORE: "32"}, False, True),
        ({CORE: "unavailable"}, False, True),
        ({"sensor.heap_draw_from": "unknown"}, False, False),
        ({"sensor.heap_draw_down_to": "unknown"}, False, True),
        ({"binary_sensor.heap_pause_draw": "on"}, False, True),
        ({"binary_sensor.heap_pause_draw": "unavailable"}, False, True),
        ({FIRE: "on"}, False, True),
        ({FIRE: "unavailable"}, False, True),
    ],
)
def test_the_plan_switches_on_and_off_with_room_between(changed: dict[str, str], goes_on: bool, goes_off: bool) -> None:
    states = {
        FIRE: "off",
        CORE: "48",
        "binary_sensor.heap_pause_draw": "off",
        "sensor.heap_draw_from": "36",
        "sensor.heap_draw_down_to": "32",
    } | changed
    found = _automations()
    on, off = (found[f"Heap draw {way} by the plan"]["condition"] for way in ("on", "off"))
    stated = all(states.get(c["entity_id"]) == c["state"] for c in on if c["condition"] == "state")
    templates = [c["value_template"] for c in on if c["condition"] == "template"]
    assert (stated and all(_rendered(each, states) == "True" for each in templates)) == goes_on
    assert (_rendered(off[0]["value_template"], states) == "True") == goes_off
