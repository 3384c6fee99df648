"""When the draw plan runs: by day too, with a thermostat in the house, after a chill, and in the last weeks."""

from __future__ import annotations

from typing import Any

import pytest

from service.answer.advice import advise
from service.status.reading import read_status
from tests.test_draw_plan import HOT


def _plan(effects: Any = "full", **changed: Any) -> dict[str, Any] | None:
    plan: dict[str, Any] | None = advise(read_status({**HOT, **changed}), effects)["draw_plan"]
    return plan


HOUSE: dict[str, Any] = {"greenhouse": {"volume": 60, "glazing": "double_film", "night_target": 10}}
BY_ITSELF: dict[str, Any] = {"equipment": ["water_loop", "house_thermostat"]}


@pytest.mark.parametrize("effects", ["full", "none"])
def test_a_hot_heap_is_drawn_by_day_too_until_it_has_cooled(effects: Any) -> None:
    """Nights alone left heat in heaps of simulated winters: by day too from 50 degC on, 2 to 8 % more came of them."""
    body = {"goal": {"until": "2027-01-20"}, "as_of": "2026-12-20T07:30:00+00:00", **HOUSE}
    hot, warm = (_plan(effects, **body, temperatures={"core": core, "outdoor": -6}) for core in (62, 44))
    assert hot is not None and warm is not None
    assert (hot["hours"], warm["hours"]) == ("all", "night")
    assert "only while the core reads 50 °C or more" in hot["text"]
    assert "only while the core" not in warm["text"]


@pytest.mark.parametrize("effects", ["full", "none"])
def test_a_thermostat_in_the_house_is_told_of_and_set_aside_where_the_heap_must_cool(effects: Any) -> None:
    told, untold = _plan(effects, **HOUSE, **BY_ITSELF), _plan(effects, **HOUSE)
    cooled = _plan(effects, **HOUSE, **BY_ITSELF, temperatures={"core": 68, "outdoor": 3})
    assert told is not None and untold is not None and cooled is not None
    assert told["hours"] == "all"
    assert "stays in series" in told["text"]
    assert "Set the thermostat in the house aside" in cooled["text"]
    assert ("A thermostat in the house besides" in untold["text"]) == (effects == "full")
    if effects == "full":
        assert told["minutes_per_hour"] * 24.0 < untold["minutes_per_hour"] * untold["hours_per_day"]
        assert told["heat"]["value"] > untold["heat"]["value"]


@pytest.mark.parametrize(("house", "pair"), [({}, (13.0, 10.0)), ({"greenhouse": {"night_target": 10}}, (18.0, 15.0))])
def test_in_its_last_weeks_a_heap_is_emptied_down_to_what_its_house_is_kept_at(house: Any, pair: Any) -> None:
    """Below the house's own warmth nothing flows to it; from the last weeks on no heap dies before its time."""
    late = _plan(as_of="2027-03-05T07:30:00+00:00", temperatures={"core": 41, "outdoor": 3}, **house)
    assert late is not None
    assert (late["start_at"], late["stop_at"]) == pair
    assert late["chance_heap_dies"] == 0.0


@pytest.mark.parametrize("effects", ["full", "none"])
@pytest.mark.parametrize(("control", "by"), [("thermostat", "core"), ("timer", "off")])
def test_a_cold_heap_rests_until_its_core_has_climbed_back(effects: Any, control: str, by: str) -> None:
    """In a week of pause such heaps of simulated winters climbed to 54 and 74 degC, and nothing of it was drawn."""
    drawn = {"water": {"flow": 3, "minutes_per_hour": 20, "inlet": 9, "outlet": 24}, "control": control}
    cold = {"pile": {"age": 45, "size": {"volume": 18}}, "temperatures": {"core": 28.6, "outdoor": 3}, "draw": drawn}
    answer = advise(read_status({**HOT, **cold}), effects)
    plan = answer["draw_plan"]
    assert "pause_draw" in [action["action"] for action in answer["actions"]]
    assert (plan["by"], plan["minutes_per_hour"]) == (by, 0.0)
    assert plan["start_at"] > 28.6
    assert (f"until the core has climbed back to {plan['start_at']:.0f} °C" in plan["text"]) == (by == "core")


@pytest.mark.parametrize("effects", ["full", "none"])
@pytest.mark.parametrize("core", [24, 33])
def test_a_heap_in_its_last_weeks_is_drawn_though_something_else_is_waited_for(effects: Any, core: float) -> None:
    still = {
        "as_of": "2027-03-05T07:30:00+00:00",
        "temperatures": {"core": core, "outdoor": 3},
        "draw": {"water": {"flow": 3, "minutes_per_hour": 0}},
        "done": [{"at": "2027-03-03T12:00:00+00:00", "action": "add_nitrogen", "amount": "6 kg"}],
    }
    answer = advise(read_status({**HOT, **still}), effects)
    named = {action["action"] for action in answer["actions"]}
    assert answer["draw_plan"]["by"] == "core"
    assert answer["draw_plan"]["minutes_per_hour"] > 0.0
    assert "raise_draw" in named and not named & {"wait", "keep_going"}


@pytest.mark.parametrize("effects", ["full", "none"])
def test_a_heap_that_is_emptied_is_not_told_to_rest_for_being_cold(effects: Any) -> None:
    loop = {"flow": 2, "minutes_per_hour": 20, "hours_per_day": 14, "tube": "plastic", "loop": "closed"}
    last_weeks = {
        "as_of": "2026-03-20T12:00:00Z",
        "season": "heating",
        "goal": {"until": "2026-03-31"},
        "pile": {"age": 140, "size": {"volume": 20}},
        "temperatures": {"core": 25, "outdoor": 4},
        "draw": {"water": loop},
        "greenhouse": {"night_target": 5, "volume": 60},
    }
    answer = advise(read_status(last_weeks), effects)
    assert answer["draw_plan"]["minutes_per_hour"] > 0.0
    assert "Nothing is to be taken" not in answer["energy"]["verdict"]


BOTH: dict[str, Any] = {
    "water": {"flow": 5, "inlet": 10, "outlet": 25, "minutes_per_hour": 60, "hours_per_day": 24},
    "air": {"flow": 150, "path": "closed_duct", "inlet": 5, "outlet": 25, "minutes_per_hour": 60, "hours_per_day": 24},
}


@pytest.mark.parametrize("effects", ["full", "none"])
def test_where_both_ways_overdraw_both_are_cut(effects: Any) -> None:
    """The plan speaks of the loop alone: a fan left at full takes some 700 W of a heap that keeps up far less."""
    body = {
        **HOT,
        "pile": {"age": 60, "size": {"volume": 10}},
        "draw": BOTH,
        "temperatures": {"core": 52, "outdoor": 0},
    }
    reduced = next(each for each in advise(read_status(body), effects)["actions"] if each["action"] == "reduce_draw")
    doses = {dose["of"]: dose["value"] for dose in reduced["doses"]}
    assert doses["water_minutes_per_hour"] < 30.0
    assert doses["air_minutes_per_hour"] < 30.0


def test_a_fan_is_cut_by_its_own_draw_where_the_loop_of_the_plan_rests() -> None:
    """What a plan says of the loop excuses no fan: here the heap is drawn six times what it can keep up."""
    told = {"equipment": ["water_loop", "air_duct"], "draw": {"air": BOTH["air"]}}
    body = {**HOT, **told, "pile": {"age": 60, "size": {"volume": 10}}, "temperatures": {"core": 52, "outdoor": 0}}
    answer = advise(read_status(body), "none")
    assert answer["draw_plan"]["way"] == "water"
    assert "reduce_draw" in {action["action"] for action in answer["actions"]}
    assert "used up by its date" not in answer["energy"]["verdict"]
