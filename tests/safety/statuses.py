"""Random statuses with each field that guards a caution told or not, independently; the same for a seed."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from typing import Any

Body = dict[str, Any]
SIGNS = ("steam", "smoke", "cracks", "dry_pockets", "leachate", "fan_stopped", "no_flow_in_loop", "water_in_duct")


def statuses(seed: int, count: int) -> Iterator[Body]:
    """So many statuses, from a bare age and core to nearly all that can be told."""
    chance = Random(seed)
    for _ in range(count):
        yield status(chance)


def status(chance: Random) -> Body:
    def maybe(part: Body, name: str, value: Any) -> None:
        if chance.random() < 0.5:
            part[name] = value

    core = round(chance.choice([chance.uniform(5, 60), chance.uniform(58, 74), chance.uniform(74, 95)]), 1)
    body: Body = {
        "as_of": f"2026-{chance.randint(1, 12):02d}-15T08:00:00Z",
        "pile": {"age": chance.randint(1, 300)},
        "temperatures": {"core": core},
    }
    maybe(body["pile"], "cover", chance.choice(["none", "clear_film", "tarp", "breathable", "straw"]))
    maybe(body["pile"], "size", {"volume": round(chance.uniform(2, 40), 1)})
    maybe(body["temperatures"], "outdoor", round(chance.uniform(-15, 20), 1))
    maybe(body, "probe", {"length": round(chance.uniform(0.2, 1.5), 1)})
    maybe(body, "season", chance.choice(["heating", "off"]))
    maybe(body, "moisture_feel", chance.choice(["dusty", "dry", "damp", "wet", "soggy"]))
    maybe(body, "smell", chance.choice(["earthy", "none", "ammonia", "rotten_egg", "sour", "musty", "burnt"]))
    maybe(body, "signs", chance.sample(SIGNS, chance.randint(0, 2)))
    maybe(body, "equipment", chance.sample(["air_duct", "water_loop"], chance.randint(0, 2)))
    maybe(body, "draw", _draw(chance, core))
    maybe(body, "greenhouse", {"volume": 60, "glazing_area": 80})
    if chance.random() < 0.4:
        then = min(round(core - chance.uniform(-6, 6), 1), 94.0)
        body["history"] = [{"at": f"{body['as_of'][:8]}12T08:00:00Z", "core": then}]
    return body


def _draw(chance: Random, core: float) -> Body:
    fields = {
        "air": {
            "flow": 60,
            "minutes_per_hour": 15,
            "path": chance.choice(["closed_duct", "through_heap"]),
            "outlet_to": chance.choice(["greenhouse", "outdoors"]),
        },
        "water": {
            "flow": 2,
            "minutes_per_hour": 15,
            "tube": chance.choice(["copper", "plastic"]),
            "loop": chance.choice(["closed", "open"]),
            "outlet": round(min(chance.uniform(10, 60), core + 5), 1),
        },
    }
    ways = chance.sample(["air", "water"], chance.randint(1, 2))
    return {way: {name: value for name, value in fields[way].items() if chance.random() < 0.6} for way in ways}
