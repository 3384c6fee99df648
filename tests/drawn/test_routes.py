"""One season draw: every route tells the same of a heap, its log and its days, or says why it does not."""

from __future__ import annotations

import random
from datetime import date, timedelta
from typing import Any

import pytest

from rules.catalogue import said
from tests.each import each
from tests.planning.asking import COLD_MONTHS, HOUSE, Body, ask

TODAY = date(2026, 1, 18)
PALACE = HOUSE | {"volume": "4000 m3", "glazing": "single_film", "glazing_area": "2000 m2"}
"""Needs more on any winter's day than a heap gives."""
MIXES = (
    [("wood_chips", 1.0)],
    [("wood_chips", 3.0), ("horse_manure", 1.0)],
    [("wood_chips", 5.0), ("horse_manure", 3.0), ("grass_clippings", 2.0)],
)


def standing_heap(rng: random.Random) -> Body:
    age, core = rng.randint(8, 120), rng.uniform(35.0, 68.0)
    log = [
        {"at": f"{TODAY - timedelta(days=back)}T07:30:00Z", "core": round(core + rng.uniform(-0.1, 0.6) * back, 1)}
        for back in range(1, rng.choice([0, 0, 6, 14]))
    ]
    body: Body = {
        "as_of": f"{TODAY}T07:30:00Z",
        "pile": {"age": age, "size": {"volume": rng.choice([3, 8, 20, 45])}, "cover": rng.choice(["none", "straw"])},
        "temperatures": {"core": round(core, 1), "outdoor": rng.choice([-6, 1, 8])},
        "goal": {"until": (TODAY + timedelta(days=rng.choice([14, 30, 75]))).isoformat(), "keep_core_above": 40},
    }
    loop = {"water": {"flow": 3, "inlet": 10, "outlet": 24, "minutes_per_hour": rng.choice([5, 20, 60])}}
    more = rng.choice([{}, {"equipment": ["water_loop"]}, {"draw": loop}, {"equipment": []}])
    return body | more | ({"history": log} if log else {})


def told(path: str, body: Body) -> Any:
    reply = ask(path, body)
    assert reply.status_code == 200, reply.text
    return reply.json()


def standing_draws(body: Body) -> dict[str, Any]:
    days = (date.fromisoformat(body["goal"]["until"]) - TODAY).days
    house = {"house": HOUSE, "outdoor": {"design": -10}, "pile": {"status": body}}
    return {
        "full": told("/advice?effects=full", body)["energy"]["season_draw"],
        "none": told("/advice?effects=none", body)["energy"]["season_draw"],
        "outlook": told(f"/outlook?days={days}", body)["season_draw"]["power"],
        "greenhouse": told("/greenhouse", house)["pile"]["draw"],
    }


def all_tell_the_same(seed: int) -> None:
    body = standing_heap(random.Random(seed))
    draws = standing_draws(body)
    assert all(draw == draws["none"] for draw in draws.values()), (body, draws)


@each(range(3))
def test_a_standing_heap_has_one_season_draw(seed: int) -> None:
    all_tell_the_same(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100, 160))
def test_many_standing_heaps_have_one_season_draw(seed: int) -> None:
    all_tell_the_same(seed)


def planned_heap(rng: random.Random) -> tuple[Body, Body]:
    """The same heap asked about by `/sizing` and by `/season`, in a winter whose whole need no heap covers."""
    start = date(2025, 12, rng.randint(1, 10))
    shared: Body = {
        "mix": [{"material": name, "share": share} for name, share in rng.choice(MIXES)],
        "feed": rng.random() < 0.5,
        "cover": rng.choice(["none", "straw", "tarp"]),
        "keep_core_above": rng.choice([35, 40, 45]),
        "outdoor": {"monthly": COLD_MONTHS},
        "period": {"start": start.isoformat(), "until": (start + timedelta(days=rng.choice([30, 60]))).isoformat()},
    }
    heap = rng.choice([8, 20, 40])
    season = shared | {"house": PALACE, "heap": heap, "most_heaps": 1}
    return shared | {"heat": {"power": "90 kW"}, "largest": {"volume": heap, "height": 4.5}}, season


def sizing_and_season_agree(seed: int) -> None:
    sizing, season = planned_heap(random.Random(seed))
    (heap,) = told("/season", season)["heaps"]
    plan = told("/sizing", sizing | {"lead": heap["lead_days"]})
    assert said("heap-plan.note.standing") in [note["text"] for note in plan["notes"]]
    draw = plan["gives"]["season_draw"]
    days = sum(step["days"] for step in heap["schedule"])
    mean = sum(step["days"] * step["draw"]["value"] for step in heap["schedule"]) / days
    if heap["holds_to_the_end"]:
        assert mean == pytest.approx(draw["value"], rel=0.06, abs=3.0), (sizing, draw, heap)
    else:
        need = max(step["draw"]["value"] for step in heap["schedule"])
        assert draw["value"] <= max(need, 0.005 * need), (sizing, draw, heap)


@each(range(2))
def test_a_planned_heap_has_one_season_draw(seed: int) -> None:
    sizing_and_season_agree(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100, 130))
def test_many_planned_heaps_have_one_season_draw(seed: int) -> None:
    sizing_and_season_agree(seed)
