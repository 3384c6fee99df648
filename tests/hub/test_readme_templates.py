"""The templates of the automations in the hubs' README, worked out as the hub does, state by state."""

from __future__ import annotations

import re
from datetime import datetime
from typing import Any

import jinja2
import yaml

from tests.each import each
from tests.hub.test_readme_yaml import BLOCKS, Loader

FIRE, CORE = "binary_sensor.heap_fire_risk", "sensor.heap_core"
MINUTES, NIGHTS = "sensor.heap_pump_minutes", "binary_sensor.heap_draw_by_night_only"
PAUSE = "binary_sensor.heap_pause_draw"
MAY, AIR, PUMP = "input_boolean.heap_may_draw", "sensor.greenhouse_air", "switch.heap_pump"


def _is_number(text: str) -> bool:
    return re.fullmatch(r"-?\d+(\.\d+)?", text) is not None


def _number(text: str, otherwise: float) -> float:
    return float(text) if _is_number(text) else otherwise


def _automations() -> dict[str, dict[str, Any]]:
    read = [yaml.load(block, Loader) for block in BLOCKS]
    return {found["alias"]: found for block in read for found in block.get("automation", [])}


def _rendered(template: str, states: dict[str, str], now: datetime = datetime(2026, 1, 20, 8, 0)) -> str:
    """What a template gives where these states are known and all others are not."""

    def state(entity: str) -> str:
        return states.get(entity, "unknown")

    hub = jinja2.Environment(autoescape=False)  # as the hub: numbers and names of services, no pages
    hub.filters["float"] = _number
    told = hub.from_string(template).render(
        states=state, is_number=_is_number, is_state=lambda entity, value: state(entity) == value, now=lambda: now
    )
    return told.strip()


@each(
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
    ]
)
def test_the_pump_runs_while_the_house_wants_heat_or_the_heap_must_cool(changed: dict[str, str], runs: bool) -> None:
    """Fire risk, or nothing known of it, keeps the pump off whatever else is known; so does a plan at rest."""
    states = {FIRE: "off", CORE: "48", MAY: "on", AIR: "5", PUMP: "off"} | changed
    template = _automations()["Heap pump while the house wants heat"]["action"][0]["service"]
    assert _rendered(template, states) == ("switch.turn_on" if runs else "switch.turn_off")


@each(
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
    ]
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


@each(
    [
        ({}, 12, 0, True),
        ({}, 12, 11, True),
        ({}, 12, 12, False),
        ({MINUTES: "0"}, 12, 0, False),
        ({MINUTES: "60"}, 12, 59, True),
        ({NIGHTS: "on"}, 12, 0, False),
        ({NIGHTS: "on"}, 19, 0, True),
        ({NIGHTS: "on"}, 18, 5, False),
        ({NIGHTS: "on"}, 8, 5, True),
        ({NIGHTS: "on"}, 9, 5, False),
        ({NIGHTS: "unavailable"}, 12, 0, False),
        ({FIRE: "on"}, 12, 0, False),
        ({FIRE: "unavailable"}, 12, 0, False),
        ({PAUSE: "on"}, 12, 0, False),
        ({PAUSE: "unknown"}, 12, 0, False),
        ({CORE: "unavailable"}, 12, 0, False),
    ]
)
def test_by_its_minutes_the_pump_runs_at_the_start_of_each_hour(
    changed: dict[str, str], hour: int, minute: int, runs: bool
) -> None:
    states = {FIRE: "off", PAUSE: "off", CORE: "48", MINUTES: "12", NIGHTS: "off"} | changed
    found = _automations()["Heap draw by the minutes"]
    assert _rendered(found["condition"][0]["value_template"], states) == "True"
    told = _rendered(found["action"][0]["service"], states, datetime(2026, 1, 20, hour, minute))
    assert told == ("switch.turn_on" if runs else "switch.turn_off")


@each([{"sensor.heap_draw_from": "36"}, {MINUTES: "unavailable"}])
def test_minutes_are_not_gone_by_where_the_cores_are_told_or_nothing_is(changed: dict[str, str]) -> None:
    states = {FIRE: "off", PAUSE: "off", CORE: "48", MINUTES: "12", NIGHTS: "off"} | changed
    condition = _automations()["Heap draw by the minutes"]["condition"][0]["value_template"]
    assert _rendered(condition, states) == "False"


def test_a_reading_does_not_end_minutes_that_run() -> None:
    off = _automations()["Heap draw off by the plan"]["condition"][0]["value_template"]
    states = {FIRE: "off", PAUSE: "off", CORE: "48", MINUTES: "12"}
    assert _rendered(off, states) == "False" and _rendered(off, states | {MINUTES: "0"}) == "True"
