"""Every YAML block of the hubs' README can be read, and names only what the service gives."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import yaml

from service.answer.shapes.advice import Advice
from service.machines.hub.discovery import messages
from service.machines.hub.shape import PileNow
from tests.each import each

TEXT = (Path(__file__).parents[2] / "service" / "machines" / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```yaml\n(.*?)^```$", TEXT, re.MULTILINE | re.DOTALL)
KNOWN = {*PileNow.__annotations__, *Advice.__annotations__}
NAMES: list[tuple[str, str, str]] = re.findall(
    r"^\| `(\w+\.\w+)` \| `(\w+\.\w+)` \| `(\w+\.\w+)` \|$", TEXT, re.MULTILINE
)
"""What an entity is called: by REST, by MQTT, by MQTT in the newest hubs."""


class Loader(yaml.SafeLoader):
    """YAML as the hub reads it, with its secrets."""


Loader.add_constructor("!secret", lambda loader, node: f"secret {node.value}")


def keys_in(data: Any) -> set[str]:
    if isinstance(data, dict):
        return {str(key) for key in data} | {key for value in data.values() for key in keys_in(value)}
    return {key for value in data for key in keys_in(value)} if isinstance(data, list) else set()


@each(BLOCKS)
def test_a_yaml_block_is_sound(block: str) -> None:
    read = yaml.load(block, Loader)
    assert isinstance(read, dict) and set(read) <= {"rest", "automation", "mqtt", "rest_command", "sensor"}
    assert set(re.findall(r"value_json\.(\w+)", block)) <= KNOWN
    for words in re.findall(r"json_attributes: \[(.*)\]", block):
        assert {word.strip() for word in words.split(",")} <= KNOWN
    # The form that hubs from 2024.3 to the newest take without a warning.
    assert not {"object_id", "triggers", "actions", "conditions"} & keys_in(read)
    for words in re.findall(r"availability: (.*)", block):
        assert "is defined" in words and re.search(r"is (boolean|number|string) ", words), words


def by_mqtt(block: str) -> str:
    """A block of automations with the names that its entities have by MQTT."""
    called = {rest: mqtt for rest, mqtt, _ in NAMES} | {"sensor.heap_probe": "sensor.heap_probe"}  # their own probe
    return re.sub(r"\b(?:binary_)?sensor\.heap_\w+", lambda found: called[found[0]], block)


def test_there_are_some() -> None:
    assert BLOCKS and len(NAMES) == 8


def test_entities_by_mqtt_are_called_as_they_are_announced() -> None:
    told = messages({"pile": "3f9a0c1d2e4b5a67", "name": "North heap"}, "homeassistant", 180, "device")
    (whole,) = (json.loads(payload) for payload in told.values())
    named = {
        part["default_entity_id"]: f"{part['p']}.{_slug(whole['device']['name'])}_{_slug(part['name'])}"
        for part in whole["components"].values()
    }
    assert {newest: mqtt for _, mqtt, newest in NAMES}.items() <= named.items()


def _slug(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_")


@each([block for block in BLOCKS if block.startswith("automation:")])
def test_every_entity_of_an_automation_has_its_name_by_mqtt(block: str) -> None:
    renamed = by_mqtt(block)
    for told, mqtt in re.findall(r"(\S+) # by MQTT: (\S+)$", renamed, re.MULTILINE):
        assert told == mqtt
    assert yaml.load(renamed, Loader)
