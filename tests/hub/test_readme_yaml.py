"""Every YAML block of the hubs' README can be read, and names only what the service gives."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from service.answer.shapes.advice import Advice
from service.machines.hub.shape import PileNow

TEXT = (Path(__file__).parents[2] / "service" / "machines" / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```yaml\n(.*?)^```$", TEXT, re.MULTILINE | re.DOTALL)
KNOWN = {*PileNow.model_fields, *Advice.model_fields}


class Loader(yaml.SafeLoader):
    """YAML as the hub reads it, with its secrets."""


Loader.add_constructor("!secret", lambda loader, node: f"secret {node.value}")


def keys_in(data: Any) -> set[str]:
    if isinstance(data, dict):
        return {str(key) for key in data} | {key for value in data.values() for key in keys_in(value)}
    return {key for value in data for key in keys_in(value)} if isinstance(data, list) else set()


@pytest.mark.parametrize("block", BLOCKS)
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


def test_there_are_some() -> None:
    assert BLOCKS
