"""How a pile presents itself to a home-automation hub by MQTT discovery: one device with its entities, as data.

Topics and keys are those of Home Assistant's MQTT integration (device discovery with `device`, `origin`, `components`);
long keys by the short names it knows, so that a device fits into 4.5 kB.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from importlib.metadata import version
from typing import Any, Final, Literal, get_args

from rules.actions.records import ACTIONS
from rules.catalogue import said
from rules.language.model import Urgency
from service.answer.shapes.part import Phase
from service.machines.hub.shape import PileNow

PREFIX: Final = "homeassistant"
BASE: Final = "warmheap"
LARGEST_DISCOVERY: Final = 4864
"""Bytes of the message that announces a pile (our own)."""
ONLINE: Final = "online"
OFFLINE: Final = "offline"
Form = Literal["device", "entities"]


Announced = dict[str, Any]
"""A piece of a discovery message: its keys are those the hub's own format names."""


@dataclass(frozen=True, slots=True)
class Entity:
    """One value of `/piles/{pile}/now` as the hub shows it. `more` are the hub's own keys."""

    key: str
    platform: Literal["sensor", "binary_sensor"] = "sensor"
    more: Announced = field(default_factory=dict)

    @property
    def template(self) -> str:
        """How the hub finds the value in a state; null stays unknown, and is never taken for off."""
        if self.platform == "binary_sensor":
            return f"{{{{ {{true:'ON',false:'OFF'}}.get(value_json.{self.key})}}}}"
        return f"{{{{value_json.{self.key}}}}}"


def _power(key: str, *, is_now: bool) -> Entity:
    """A thermal power; only what is so now goes into statistics, forecasts do not."""
    statistics = {"stat_cla": "measurement"} if is_now else {}
    return Entity(key, more={"dev_cla": "power", "unit_of_meas": "W", **statistics})


def _words(key: str, words: tuple[str, ...]) -> Entity:
    return Entity(key, more={"dev_cla": "enum", "options": list(words)})


ENTITIES: Final[tuple[Entity, ...]] = (
    _words("action", tuple(ACTIONS)),
    _words("urgency", tuple(urgency.value for urgency in Urgency)),
    _words("phase", get_args(Phase)),
    Entity("fire_risk", "binary_sensor", {"dev_cla": "safety"}),
    Entity("pause_draw", "binary_sensor"),
    Entity("core_c", more={"dev_cla": "temperature", "unit_of_meas": "°C", "stat_cla": "measurement"}),
    _power("thermal_made_w", is_now=True),
    _power("thermal_season_draw_w", is_now=False),
    Entity("thermal_usable_left_kwh", more={"unit_of_meas": "kWh"}),
    Entity("start_at_c", more={"dev_cla": "temperature", "unit_of_meas": "°C"}),
    Entity("stop_at_c", more={"dev_cla": "temperature", "unit_of_meas": "°C"}),
    Entity("air_minutes_per_hour", more={"unit_of_meas": "min"}),
    Entity("water_minutes_per_hour", more={"unit_of_meas": "min"}),
    Entity("draw_by_night_only", "binary_sensor"),
)


@dataclass(frozen=True, slots=True)
class Topics:
    """The topics of one pile."""

    pile: str
    prefix: str = PREFIX

    @property
    def device(self) -> str:
        """Where the whole device is announced, retained; empty removes it."""
        return f"{self.prefix}/device/{BASE}_{self.pile}/config"

    def entity(self, entity: Entity) -> str:
        """Where one entity is announced to hubs that know no devices yet."""
        return f"{self.prefix}/{entity.platform}/{BASE}_{self.pile}/{entity.key}/config"

    @property
    def state(self) -> str:
        """Where its state is told, never retained: a state that has expired must not come back with a restart."""
        return f"{BASE}/{self.pile}/state"

    @property
    def availability(self) -> str:
        """Whether something can be said of the pile."""
        return f"{BASE}/{self.pile}/availability"


BRIDGE: Final = f"{BASE}/bridge"
"""Whether the bridge is there; its last will says when it is not."""


def messages(page: PileNow, prefix: str, expire_after_s: int, form: Form) -> dict[str, bytes]:
    """The discovery of a pile by topic: one message for a device, or one for each entity."""
    topics = Topics(page["pile"], prefix)
    shared = {
        "device": {"identifiers": [f"{BASE}_{page['pile']}"], "name": page["name"]},
        "origin": {"name": BASE, "sw_version": version(BASE)},
    }
    parts = {entity.key: _component(entity, topics, expire_after_s) for entity in ENTITIES}
    if form == "device":
        components = {key: {"p": ENTITY_BY_KEY[key].platform, **part} for key, part in parts.items()}
        whole = {**shared, "state_topic": topics.state, **_availability(topics), "components": components}
        return {topics.device: _written(whole)}
    return {
        topics.entity(ENTITY_BY_KEY[key]): _written(
            {**shared, "state_topic": topics.state, **({} if "availability" in part else _availability(topics)), **part}
        )
        for key, part in parts.items()
    }


def removal(pile: str, prefix: str) -> list[str]:
    """Every topic to be emptied when a pile is gone, of either form."""
    topics = Topics(pile, prefix)
    return [topics.device, *(topics.entity(entity) for entity in ENTITIES), topics.availability]


def _component(entity: Entity, topics: Topics, expire_after_s: int) -> Announced:
    """One entity. A fire is told as long as the bridge is there, whatever else is known of the pile."""
    return {
        "name": said(f"hub.entity.{entity.key}"),
        "uniq_id": f"{topics.pile}_{entity.key}",
        "default_entity_id": f"{entity.platform}.{BASE}_{topics.pile[:6]}_{entity.key}",
        "val_tpl": entity.template,
        "exp_aft": expire_after_s,
        **entity.more,
        **({"availability": [{"topic": BRIDGE}]} if entity.key == "fire_risk" else {}),
    }


ENTITY_BY_KEY: Final = {entity.key: entity for entity in ENTITIES}


def _availability(topics: Topics) -> Announced:
    return {"availability": [{"topic": BRIDGE}, {"topic": topics.availability}], "availability_mode": "all"}


def _written(data: Announced) -> bytes:
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).encode()
