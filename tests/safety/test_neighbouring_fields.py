"""What is told or left untold beside a danger never silences it (common practice, no source)."""

from __future__ import annotations

from typing import Any

import pytest

from service.answer.advice import advise
from service.status.reading import read_status
from tests.each import each


def answer(body: dict[str, Any]) -> Any:
    return advise(read_status({"as_of": "2026-01-21T08:00:00Z", **body}), "none", "metric")


def moves(told: Any) -> list[str]:
    return [action["action"] for action in told["actions"]]


def cautions(told: Any) -> str:
    return " ".join(caution["text"] for action in told["actions"] for caution in action["cautions"])


@each(
    [{"smell": "rotten_egg"}, {"smell": "ammonia"}, {"people": ["eyes_sting"]}, {"people": ["cough"]}],
    [{}, {"outlet_to": "greenhouse"}],
)
def test_a_fan_that_may_blow_foul_air_into_the_house_goes_off_first(foul: Any, outlet: Any) -> None:
    body = {"pile": {"age": 44}, "temperatures": {"core": 53}, **foul}
    told = answer({**body, "draw": {"air": {"minutes_per_hour": 25, **outlet}}})
    assert moves(told)[0] in ("pause_draw", "ventilate_greenhouse") and "pause_draw" in moves(told)
    assert {told["actions"][place]["urgency"] for place in range(len(moves(told)))} >= {"now"}
    assert told["draw_plan"]["minutes_per_hour"] == 0 and "keep_going" not in moves(told)
    apart = answer({**body, "draw": {"air": {"minutes_per_hour": 25, "path": "closed_duct", **outlet}}})
    assert "pause_draw" not in moves(apart)


def test_nothing_is_opened_or_smelled_at_while_its_air_stings() -> None:
    body = {"pile": {"age": 44}, "temperatures": {"core": 53}}
    asked = {each["field"] for each in answer({**body, "people": ["eyes_sting"]})["ask_next"]}
    assert not asked & {"/moisture_feel", "/smell"}
    assert {each["field"] for each in answer(body)["ask_next"]} & {"/moisture_feel", "/smell"}


@each(
    [
        ([(1, 65), (3, 61), (6, 55)], True),
        ([(1, 60), (3, 57), (6, 52)], False),
        ([(1, 65), (3, 65), (6, 65)], False),
    ]
)
def test_a_rising_core_that_was_read_yesterday_is_carried_on_to_today(log: Any, watched: bool) -> None:
    history = [{"at": f"2026-01-{21 - days}T08:00:00Z", "core": core} for days, core in log]
    assert ("watch_heat" in moves(answer({"pile": {"age": 17}, "history": history}))) is watched


@each([(69, False), (67, False), (58, True)])
def test_a_heap_near_the_limit_of_fire_is_not_wrapped(core: float, wrapped: bool) -> None:
    told = answer(
        {"pile": {"age": 22, "cover": "none", "wind": "exposed"}, "temperatures": {"core": core, "outdoor": -9}}
    )
    assert ("cover_with_clear_film" in moves(told)) is wrapped
    assert ("watch_heat" in moves(told)) is not wrapped


def test_an_old_reading_is_old_whichever_way_it_was_told() -> None:
    at = "2025-12-20T08:00:00Z"
    now = {"temperatures": {"core": 57}, "read_at": {"/temperatures/core": at}}
    assert moves(answer({"pile": {"age": 65}, **now}))[0] == "find_the_cause"
    assert moves(answer({"pile": {"age": 65}, "history": [{"at": at, "core": 57}]}))[0] == "find_the_cause"


def test_straw_that_was_told_is_named_from_the_limit_of_watching_on() -> None:
    body = {"pile": {"age": 30, "cover": "straw"}, "temperatures": {"core": 67}, "moisture_feel": "dry"}
    assert "tinder" in cautions(answer(body))


@each(
    [
        {"minutes_per_hour": 20, "flow": 3},
        {"minutes_per_hour": 60, "hours_per_day": 2},
        {"flow": 3, "hours_per_day": 8},
        {"minutes_per_hour": 0},
    ],
    [{"weather": {"low": -14}}, {"temperatures": {"outdoor": 3}}, {}],
)
def test_frost_is_spoken_of_wherever_water_may_stand(water: Any, air: Any) -> None:
    temperatures = {"core": 56, **air.get("temperatures", {})}
    rest = {name: value for name, value in air.items() if name != "temperatures"}
    told = answer({"pile": {"age": 39}, "temperatures": temperatures, "draw": {"water": water}, **rest})
    assert "frost" in cautions(told) or "freeze" in cautions(told) or "protect_loop_from_frost" in moves(told)


@each([15, 20, 40])
def test_who_tells_of_the_hardest_draw_is_not_told_to_wait_where_who_tells_less_is_told_to_draw_less(
    volume: int,
) -> None:
    body = {"pile": {"age": 41, "size": {"volume": volume}}, "temperatures": {"core": 57, "outdoor": -5}}
    less = answer({**body, "draw": {"water": {"flow": 3, "minutes_per_hour": 60}}})
    all_of_it = answer({**body, "draw": {"water": {"flow": 3, "minutes_per_hour": 60, "hours_per_day": 24}}})
    assert moves(less)[0] == moves(all_of_it)[0] == "reduce_draw"


def test_too_cool_already_is_no_less_urgent_than_soon_too_cool() -> None:
    def falling(core: float) -> str:
        log = [{"at": "2026-01-18T08:00:00Z", "core": core + 4}, {"at": "2026-01-14T08:00:00Z", "core": core + 9}]
        told = answer({"pile": {"age": 50}, "temperatures": {"core": core}, "history": log})
        urgency: str = told["actions"][0]["urgency"]
        return urgency

    assert falling(41) == falling(39) == falling(37) == "today"


def test_no_plan_waits_for_a_spent_heap_to_get_hot_again() -> None:
    told = answer({"pile": {"age": 880, "shrunk": 55}, "temperatures": {"core": 11}, "equipment": ["water_loop"]})
    assert "build_new_pile" in moves(told) and "little is left" in told["draw_plan"]["text"]


@each(
    [
        {"people": ["dizzy"], "draw": {"air": {"flow": 100, "minutes_per_hour": 20}}},
        {"smell": "rotten_egg", "draw": {"air": {"flow": 100, "path": "through_heap", "outlet_to": "greenhouse"}}},
        {"draw": {"air": {"flow": 100, "path": "through_heap"}}},
    ]
)
def test_a_fan_that_is_off_for_gas_goes_on_again_when_the_danger_is_gone_and_on_no_day(body: dict[str, Any]) -> None:
    told = answer({"pile": {"age": 44}, "temperatures": {"core": 53}, **body})
    off = next(action for action in told["actions"] if action["action"] == "pause_draw")
    assert off["doses"] == [] and "days" not in told["say"]
    assert "start again" not in " ".join(off["steps"]) and "closed duct" in " ".join(off["steps"])
    cold = answer({"pile": {"age": 80}, "temperatures": {"core": 25}, "draw": {"water": {"flow": 2}}})
    assert any(dose["of"] == "pause_days" for action in cold["actions"] for dose in action["doses"])


def test_nobody_digs_where_somebody_feels_unwell() -> None:
    body = {"pile": {"age": 70}, "temperatures": {"core": 47}, "equipment": ["air_duct"]}
    assert "find_the_cause" in moves(answer(body))
    ill = answer({**body, "people": ["sick"]})
    assert "squeeze" not in " ".join(step.casefold() for action in ill["actions"] for step in action["steps"])


@each(["pipe_frozen", "pipe_burst", "no_flow_in_loop", "power_out"])
def test_a_loop_that_stands_is_not_guarded_by_running_it(sign: str) -> None:
    body = {"pile": {"age": 60}, "temperatures": {"core": 50, "outdoor": -9}, "equipment": ["water_loop"]}
    guard = {action["action"]: " ".join(action["steps"]) for action in answer({**body, "signs": [sign]})["actions"]}
    assert "Leave the pump off" in guard["protect_loop_from_frost"] and "Run the pump" not in str(guard)
    rests = {action["action"]: " ".join(action["steps"]) for action in answer(body)["actions"]}
    assert "Run the pump for a few minutes" in rests["protect_loop_from_frost"]


@each(["pipe_frozen", "pipe_burst", "no_flow_in_loop"])
def test_a_sign_of_the_loop_shows_that_there_is_one(sign: str) -> None:
    body = {"pile": {"age": 60}, "temperatures": {"core": 50, "outdoor": -9}, "signs": [sign]}
    told = answer(body)
    assert "protect_loop_from_frost" in moves(told) and "expansion tank" in cautions(told)
    assert moves(told) == moves(answer({**body, "equipment": ["water_loop"]}))


@each(["fan_stopped", "water_in_duct", "duct_drips"])
def test_a_sign_of_the_duct_shows_that_there_is_one(sign: str) -> None:
    told = answer({"pile": {"age": 60}, "temperatures": {"core": 50}, "signs": [sign]})
    assert "heap air in a house can kill" in cautions(told) and "If a loop or a duct is fitted" not in cautions(told)


@pytest.mark.parametrize(("cover", "move"), [("tarp", "lift_cover"), ("clear_film", "open_vent_in_film")])
@pytest.mark.parametrize("rain", ["light", "heavy"])
def test_no_heap_is_opened_to_the_rain(cover: str, move: str, rain: str) -> None:
    body = {"pile": {"age": 35, "cover": cover}, "temperatures": {"core": 41, "outdoor": 6}, "smell": "sour"}
    for weather, rains in (({"rain": rain}, True), ({"rain": "none"}, False)):
        steps = {
            action["action"]: " ".join(action["steps"]) for action in answer({**body, "weather": weather})["actions"]
        }
        assert ("while it rains" in steps[move].casefold()) is rains


def test_nothing_is_counted_on_tonight_from_a_pump_without_power() -> None:
    body = {
        **{"pile": {"age": 50, "size": {"volume": 17}}, "temperatures": {"core": 56}, "weather": {"low": -13}},
        "greenhouse": {"volume": 60, "glazing": "double_film", "night_target": 5},
        "draw": {"water": {"flow": 3, "inlet": 12, "outlet": 40, "minutes_per_hour": 12}},
    }
    out, on = answer({**body, "signs": ["power_out"]})["tonight"], answer(body)["tonight"]
    assert out["from_pile"]["value"] == 0 and out["short_by"]["value"] == out["needed"]["value"]
    assert on["from_pile"]["high"] > 0
