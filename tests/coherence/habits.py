"""Statuses as some people send them: only a log, a draw without what it runs in, a field by itself, both ways at once.

`statuses` tells each field by chance; here what is told, and how large, hangs together by a habit. All in metric units.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any, Final

from tests.coherence.statuses import SIGNS as SIGNS_OF_CHANCE
from tests.coherence.statuses import status as of_chance

Body = dict[str, Any]
Habit = Callable[[Random, datetime, Body], Body]
FEELS: Final = ("dusty", "dry", "damp", "wet", "soggy")
SIGNS: Final = (*SIGNS_OF_CHANCE, "pipe_burst")
CHIPS: Final = [{"material": "wood_chips", "amount": "8 m3"}]


def habits(seed: int, count: int) -> Iterator[Body]:
    """That many statuses, each habit in turn; the same seed gives the same ones."""
    for place in range(count):
        random = Random(f"habit {seed} {place}")
        month, day, hour = random.choice((1, 1, 2, 3, 10, 11, 12, 7)), random.randint(1, 28), random.randint(0, 23)
        now = datetime(2026, month, day, hour, tzinfo=UTC)
        age = random.choice((3, 8, 20, 45, 90, 150, 240, 500))
        body: Body = {"as_of": now.isoformat(), "pile": {"age": age}, "temperatures": {}}
        yield HABITS[place % len(HABITS)](random, now, body)


def _read(body: Body, random: Random, low: float, high: float, outdoor: tuple[float, float] | None = None) -> float:
    """Put a core between the two, and the air outside; the core."""
    body["temperatures"]["core"] = core = round(random.uniform(low, high), 1)
    if outdoor:
        body["temperatures"]["outdoor"] = round(random.uniform(*outdoor), 1)
    return core


def _log(random: Random, last: datetime, core: float, gap: float = 1.0) -> list[Body]:
    slope = random.choice((-3.0, -1.0, -0.3, 0.0, 1.0, 3.0))
    return [
        {"at": (last - timedelta(days=gap * back)).isoformat(), "core": round(core - slope * gap * back, 1)}
        for back in range(1, random.randint(2, 6))
        if 3.0 < core - slope * gap * back < 79.0
    ]


def _loop(random: Random, core: float) -> Body:
    inlet = round(random.uniform(3.0, 14.0), 1)
    return {
        "flow": random.choice((0.5, 1, 2, 3, 6, 10, 20)),
        "inlet": inlet,
        "outlet": round(inlet + max(core - inlet, 1.0) * random.uniform(0.2, 0.9), 1),
        "minutes_per_hour": random.choice((5, 10, 20, 40, 60)),
        "hours_per_day": random.choice((6, 12, 24)),
    }


def _duct(random: Random, core: float) -> Body:
    return _loop(random, core) | {
        "flow": random.choice((20, 80, 200, 600)),
        "path": random.choice(("closed_duct", "through_heap")),
        "outlet_to": random.choice(("greenhouse", "outdoors")),
    }


def only_a_log(random: Random, now: datetime, body: Body) -> Body:
    past = _log(random, now, random.uniform(15, 70), random.choice((0.5, 1, 3, 7)))
    return body | {"history": past or [{"at": (now - timedelta(days=1)).isoformat(), "core": 40}]}


def a_log_of_last_month(random: Random, now: datetime, body: Body) -> Body:
    body["pile"]["age"] = 200
    return body | {"history": _log(random, now - timedelta(days=random.choice((10, 40))), random.uniform(20, 60))}


def a_draw_without_equipment(random: Random, now: datetime, body: Body) -> Body:
    body["draw"] = {"water": _loop(random, _read(body, random, 25, 66))}
    return body if random.random() < 0.5 else body | {"equipment": []}


def equipment_without_a_draw(random: Random, now: datetime, body: Body) -> Body:
    _read(body, random, 20, 72)
    body["equipment"] = random.choice((["water_loop"], ["air_duct"], ["air_duct", "water_loop"]))
    return body if random.random() < 0.6 else body | {"season": random.choice(("heating", "off"))}


def both_ways_at_once(random: Random, now: datetime, body: Body) -> Body:
    core = _read(body, random, 30, 74, (-15, 10))
    body["pile"]["size"] = {"volume": random.choice((3, 10, 30))}
    body["history"] = _log(random, now, core)
    return body | {"season": "heating", "draw": {"water": _loop(random, core), "air": _duct(random, core)}}


def a_goal_near_or_far(random: Random, now: datetime, body: Body) -> Body:
    until = (now + timedelta(days=random.choice((1, 2, 200, 360)))).date().isoformat()
    prefer = random.choice(("tonight", "season"))
    body["goal"] = {"until": until, "keep_core_above": random.choice((20, 30, 45, 55, 60)), "prefer": prefer}
    return body | {"draw": {"water": _loop(random, _read(body, random, 30, 66))}}


def a_tiny_heap(random: Random, now: datetime, body: Body) -> Body:
    core = _read(body, random, 15, 65)
    body["pile"] |= {"size": {"volume": random.choice((0.3, 0.8, 1.5))}}
    return body | {"draw": {"water": _loop(random, core)}} if random.random() < 0.5 else body


def a_huge_heap(random: Random, now: datetime, body: Body) -> Body:
    body["pile"]["size"] = {"volume": random.choice((120, 400, 1000))}
    return body | {"draw": {"water": _loop(random, _read(body, random, 25, 72))}}


def nothing_on_hand(random: Random, now: datetime, body: Body) -> Body:
    _read(body, random, 15, 62, (-12, 12))
    body["pile"]["ingredients"] = CHIPS
    felt = {"moisture_feel": random.choice(FEELS), "moisture_feel_at": "arm_deep"}
    return body | felt | {"on_hand": [], "smell": random.choice(("earthy", "none", "rotten_egg", "sour", "musty"))}


def a_loop_in_hard_frost(random: Random, now: datetime, body: Body) -> Body:
    core = _read(body, random, 20, 74, (-32, -12))
    body["weather"] = {"low": round(random.uniform(-38, -15), 1)}
    body["signs"] = random.choice((["no_flow_in_loop"], ["snow_covered", "frozen_crust"], []))
    return body | random.choice(
        ({"draw": {"water": _loop(random, core)}}, {"equipment": ["water_loop"]}, {"draw": {"water": {"flow": 0}}})
    )


def hot_and_foul(random: Random, now: datetime, body: Body) -> Body:
    _read(body, random, 54, 66, (-8, 15) if random.random() < 0.3 else None)
    if random.random() < 0.4:
        body["moisture_feel"] = random.choice(("wet", "soggy", "damp"))
    return body | {"smell": random.choice(("sour", "alcohol", "rotten_egg", "musty", "ammonia"))}


def very_hot_and_little_else(random: Random, now: datetime, body: Body) -> Body:
    _read(body, random, 60, 85)
    body["pile"] |= random.choice(({}, {"cover": random.choice(("straw", "clear_film", "tarp"))}))
    body |= random.choice(({}, {"moisture_feel": random.choice(FEELS)}))
    return body | random.choice(({}, {"draw": {random.choice(("air", "water")): {"flow": 0}}}))


def signs_alone(random: Random, now: datetime, body: Body) -> Body:
    _read(body, random, 8, 68)
    return body | {"signs": random.sample(SIGNS, random.randint(1, 4))}


def somebody_unwell(random: Random, now: datetime, body: Body) -> Body:
    core = _read(body, random, 30, 78)
    return body | {"people": [random.choice(("headache", "dizzy", "sick"))], "draw": {"air": _duct(random, core)}}


def a_pump_that_never_rests(random: Random, now: datetime, body: Body) -> Body:
    core = _read(body, random, 42, 62)
    body["pile"]["size"] = {"volume": random.choice((4, 12, 40))}
    pump = {"flow": random.choice((4, 8, 15)), "minutes_per_hour": 60, "hours_per_day": 24}
    return body | {"season": "heating", "draw": {"water": _loop(random, core) | pump}}


def old_and_cold(random: Random, now: datetime, body: Body) -> Body:
    _read(body, random, 6, 32, (-5, 12))
    body["pile"] = {"age": random.choice((300, 500, 800)), "size": {"volume": 10}, "ingredients": CHIPS}
    return body | {"moisture_feel": random.choice(FEELS), "moisture_feel_at": "arm_deep"}


def points_only(random: Random, now: datetime, body: Body) -> Body:
    body["temperatures"]["points"] = [
        {"value": round(random.uniform(10, 76), 1), "depth": round(random.uniform(0.1, 1.2), 2)}
        for _ in range(random.randint(1, 4))
    ]
    return body


def one_field_by_itself(random: Random, now: datetime, body: Body) -> Body:
    _read(body, random, 20, 70)
    drawn = of_chance(random.randint(1, 10**6), 0)
    if "until" in drawn.get("goal", {}):
        del drawn["goal"]["until"]  # a day of another year's
    names = sorted(drawn.keys() - {"as_of", "pile", "temperatures", "history", "read_at", "done", "draw"})
    return body | {name: drawn[name] for name in names[random.randrange(len(names)) :][:1]} if names else body


HABITS: Final[tuple[Habit, ...]] = (
    only_a_log,
    a_log_of_last_month,
    a_draw_without_equipment,
    equipment_without_a_draw,
    both_ways_at_once,
    a_goal_near_or_far,
    a_tiny_heap,
    a_huge_heap,
    nothing_on_hand,
    a_loop_in_hard_frost,
    hot_and_foul,
    very_hot_and_little_else,
    signs_alone,
    somebody_unwell,
    a_pump_that_never_rests,
    old_and_cold,
    points_only,
    one_field_by_itself,
)
