"""The draw plan of an answer: what it must keep to, whatever the heap."""

from __future__ import annotations

from typing import Any

import pytest

from service.answer.advice import advise
from service.outlook.answer import outlook_of, outlook_shown
from service.picture.drawplan.plan_yield import brings
from service.picture.picture import picture_of
from service.status.reading import read_status
from service.units.estimate import Estimate
from tests.physics.samples import estimate

HOT: dict[str, Any] = {
    "as_of": "2026-11-20T07:30:00+00:00",
    "season": "heating",
    "goal": {"until": "2027-03-31"},
    "pile": {"age": 30, "size": {"volume": 18}, "cover": "clear_film"},
    "temperatures": {"core": 62, "outdoor": 3},
    "moisture_feel": "damp",
    "equipment": ["water_loop"],
    "draw": {"water": {"flow": 3, "minutes_per_hour": 2, "inlet": 9, "outlet": 30}},
}


def _plan(effects: Any = "full", **changed: Any) -> dict[str, Any] | None:
    plan: dict[str, Any] | None = advise(read_status({**HOT, **changed}), effects)["draw_plan"]
    return plan


@pytest.mark.parametrize("effects", ["full", "none"])
def test_a_hot_heap_is_drawn_by_its_core(effects: str) -> None:
    plan = _plan(effects)
    assert plan is not None
    assert plan["by"] == "core"
    assert 20.0 < plan["stop_at"] < plan["start_at"] <= 65.0
    assert plan["minutes_per_hour"] > 2.0
    assert str(round(plan["start_at"])) in plan["text"]


def test_nothing_fitted_has_no_plan_and_off_season_has_none_to_run() -> None:
    bare = {key: value for key, value in HOT.items() if key not in ("draw", "equipment")}
    assert advise(read_status({**bare, "equipment": []}))["draw_plan"] is None
    plan = _plan(season="off")
    assert plan is not None
    assert plan["by"] == "off"
    assert plan["minutes_per_hour"] == 0.0


@pytest.mark.parametrize("effects", ["full", "none"])
def test_fire_stops_every_draw(effects: str) -> None:
    plan = _plan(effects, signs=["smoke"])
    assert plan is not None
    assert plan["by"] == "off"


@pytest.mark.parametrize("effects", ["full", "none"])
def test_heap_air_is_not_led_into_the_house(effects: str) -> None:
    air = {"flow": "60 m3/h", "path": "through_heap", "outlet_to": "greenhouse", "minutes_per_hour": 5}
    plan = _plan(effects, equipment=["air_duct"], draw={"air": air})
    assert plan is not None
    assert plan["by"] == "off"
    assert "gas" in plan["text"]


def test_a_limit_that_the_person_set_is_kept() -> None:
    plan = _plan(goal={"until": "2027-03-31", "keep_core_above": 50})
    assert plan is not None
    assert plan["stop_at"] >= 50.0
    assert "50 °C" in plan["why"]


def test_the_plan_brings_more_than_a_trickle() -> None:
    plan = _plan()
    assert plan is not None
    assert plan["heat"]["value"] > plan["heat_as_now"]["value"]
    assert plan["heat"]["low"] <= plan["heat"]["value"] <= plan["heat"]["high"]


@pytest.mark.parametrize("effects", ["full", "none"])
def test_the_last_weeks_have_a_pair_of_their_own_and_the_months_say_so(effects: str) -> None:
    plan = _plan(effects)
    assert plan is not None
    months = plan["months"]
    assert [month["month"] for month in months] == ["2026-11", "2026-12", "2027-01", "2027-02", "2027-03"]
    assert (months[0]["start_at"], months[0]["stop_at"]) == (plan["start_at"], plan["stop_at"])
    assert months[-1]["stop_at"] < months[0]["stop_at"]
    assert "2027-03-01" in plan["text"]
    late = _plan(effects, as_of="2027-03-05T07:30:00+00:00")
    assert late is not None
    assert late["months"] == []
    assert late["start_at"] == months[-1]["start_at"]


def test_a_heap_without_a_date_is_not_emptied() -> None:
    plan = _plan(goal=None)
    assert plan is not None
    assert plan["months"] == []


@pytest.mark.parametrize("control", ["timer", "hand"])
def test_what_cannot_hold_a_core_goes_by_the_timer(control: str) -> None:
    plan = _plan(draw={**HOT["draw"], "control": control})
    by_core = _plan(draw={**HOT["draw"], "control": "thermostat"})
    assert plan is not None
    assert by_core is not None
    assert (plan["by"], by_core["by"]) == ("timer", "core")
    assert 0.0 < plan["minutes_per_hour"] <= by_core["minutes_per_hour"]
    assert plan["stop_at"] > by_core["stop_at"]
    assert f"{plan['minutes_per_hour']:.0f} minutes" in plan["text"]


@pytest.mark.parametrize("effects", ["full", "none"])
def test_an_ill_described_hot_heap_gets_a_small_step(effects: Any) -> None:
    told = {"pile": {"age": 30}, "temperatures": {"core": 62}, "equipment": ["water_loop"]}
    body = {**told, "as_of": HOT["as_of"], "draw": {"water": {"minutes_per_hour": 2}}}
    answer = advise(read_status(body), effects)
    plan = answer["draw_plan"]
    assert plan["minutes_per_hour"] * plan["hours_per_day"] <= 5.0 * 24.0 + plan["hours_per_day"]
    assert plan["stop_at"] >= 48.0
    assert "small step" in plan["text"]
    assert "reduce_draw" not in {action["action"] for action in answer["actions"]}


@pytest.mark.parametrize("effects", ["full", "none"])
def test_doses_speak_of_the_pump_where_the_plan_does(effects: Any) -> None:
    fan = {"air": {"flow": "60 m3/h", "minutes_per_hour": 10, "path": "closed_duct"}}
    answer = advise(read_status({**HOT, "equipment": ["water_loop", "air_duct"], "draw": fan}), effects)
    assert answer["draw_plan"]["way"] == "water"
    raised = [action for action in answer["actions"] if action["action"] == "raise_draw"]
    assert [action["doses"][0]["of"] for action in raised] == ["water_minutes_per_hour"] * len(raised)


@pytest.mark.parametrize("effects", ["full", "none"])
@pytest.mark.parametrize(("path", "by"), [("closed_duct", "core"), ("through_heap", "off")])
def test_a_very_hot_heap_gives_its_heat_through_a_closed_duct_only(effects: Any, path: str, by: str) -> None:
    """Air that stays in a duct takes heat off and brings the heap no oxygen (first law: it never meets the mass)."""
    air = {"flow": "90 m3/h", "minutes_per_hour": 5, "path": path, "outlet_to": "outdoors"}
    hot = {"core": 77, "outdoor": 3}
    answer = advise(read_status({**HOT, "temperatures": hot, "equipment": ["air_duct"], "draw": {"air": air}}), effects)
    assert answer["draw_plan"]["by"] == by
    if by == "core":
        assert answer["draw_plan"]["hours"] == "all"
        assert answer["draw_plan"]["minutes_per_hour"] > 5.0


def test_a_young_heap_gets_warm_first() -> None:
    """On simulated winters one that is drawn from 40 degC on brings 1 % more than one from 50, and lives as well."""
    young = _plan("none", pile={**HOT["pile"], "age": 9}, temperatures={"core": 37, "outdoor": 3})
    assert young is not None
    assert (young["start_at"], young["stop_at"]) == (40.0, 34.0)


def test_degrees_are_those_of_the_reader() -> None:
    metric, us = _plan(), advise(read_status(HOT), units="us")["draw_plan"]
    assert metric is not None
    assert us["unit"] == "degF"
    assert us["start_at"] == pytest.approx(metric["start_at"] * 1.8 + 32.0, abs=1.0)


def test_what_a_plan_brings_is_told_apart_from_what_is_drawn_now() -> None:
    still = _plan(draw={"water": {"flow": 3, "minutes_per_hour": 0}})
    burnt = _plan(smell="burnt")
    assert still is not None
    assert burnt is not None
    assert still["heat_as_now"]["value"] == 0.0 < still["heat"]["value"]
    assert burnt["heat"]["value"] == 0.0


@pytest.mark.parametrize(
    ("age_days", "cn", "wanted_kwh", "told"),
    [(3.0, 90.0, 1e4, (450, 520)), (60.0, 45.0, 1e4, (180, 230)), (3.0, 90.0, 50.0, (75, 75))],
)
def test_heat_told_of_a_run_counts_how_heaps_get_going(
    age_days: float, cn: float, wanted_kwh: float, told: tuple[float, float]
) -> None:
    """A run of 200 kWh over 60 days. Winters for tuning brought more in the first week: 819 where 399 were told."""
    exact = Estimate.exact
    heap = estimate(age_days=age_days, volume_m3=exact(12.0), cn_degradable=exact(cn), core_c=exact(38.0))
    heat = brings(200.0 * 3.6e6, heap, 60.0, wanted_kwh * 3.6e6)
    assert told[0] <= heat.value / 3.6e6 <= told[1]
    assert heat.low < heat.value or wanted_kwh < 100.0
    assert heat.high <= 3.0 * wanted_kwh * 3.6e6


DONE = [{"at": "2026-11-20T08:00:00+00:00", "action": each} for each in ("insulate", "cover_with_clear_film")]
SPENT: dict[str, Any] = {
    "as_of": "2026-12-20T07:30:00+00:00",
    "pile": {
        "age": 400,
        "size": {"volume": 8},
        "cover": "clear_film",
        "ingredients": [{"material": "wood_chips", "amount": "8 m3"}],
    },
    "temperatures": {"core": 34, "outdoor": 2},
    "draw": {"water": {"flow": 3, "minutes_per_hour": 0}},
}


def test_where_no_work_helps_a_plan_brings_what_its_run_says() -> None:
    answer = advise(read_status({**HOT, **SPENT, "done": DONE}))
    plan, left = answer["draw_plan"], answer["energy"]["usable_left"]
    assert not {"add_water", "add_nitrogen", "cover_with_clear_film", "insulate"} & {
        action["action"] for action in answer["actions"]
    }
    assert plan["heat"]["value"] <= left["value"], (
        "told 660 MJ of 190 that are left, when every heap was taken as worked"
    )
    assert "work that is advised" not in plan["text"] + plan["why"]


def test_heat_that_is_there_for_advised_work_is_said_to_be() -> None:
    answer = advise(read_status({**HOT, **SPENT, "pile": {**SPENT["pile"], "age": 300, "cover": "straw"}}))
    plan = answer["draw_plan"]
    assert "cover_with_clear_film" in {action["action"] for action in answer["actions"]}
    assert "Once the work that is advised is done" in plan["text"]


YOUNG_AND_DRAWN: dict[str, Any] = {
    "pile": {"age": 6, "size": {"volume": 18}},
    "temperatures": {"core": 38, "outdoor": 3},
    "draw": {"water": {"flow": 3, "minutes_per_hour": 20, "inlet": 9, "outlet": 30}},
}
DRAINED: dict[str, Any] = {
    "pile": {"age": 90},
    "temperatures": {"core": 62, "outdoor": 5},
    "draw": {"water": {"flow": 20, "minutes_per_hour": 10, "hours_per_day": 6, "inlet": 11, "outlet": 43}},
}


@pytest.mark.parametrize("effects", ["full", "none"])
def test_a_pause_that_is_advised_is_the_plans_too(effects: Any) -> None:
    answer = advise(read_status({**HOT, **YOUNG_AND_DRAWN}), effects)
    assert answer["actions"][0]["action"] == "pause_draw"
    assert answer["draw_plan"]["minutes_per_hour"] == 0.0
    assert answer["draw_plan"]["by"] == "off"  # a hub that switches by the two cores must not start it
    assert answer["draw_plan"]["text"].startswith("Leave the pump off for now")
    assert "can give about" not in answer["energy"]["verdict"]


@pytest.mark.parametrize("effects", ["full", "none"])
def test_a_short_draw_far_beyond_what_can_be_kept_up_is_cut(effects: Any) -> None:
    answer = advise(read_status({**HOT, **DRAINED}), effects)
    reduced = next(action for action in answer["actions"] if action["action"] == "reduce_draw")
    a_day = [dose["value"] for dose in reduced["doses"]] + [24.0]
    assert a_day[0] * min(a_day[1:]) < 60.0, "less than the hour a day of now"
    assert abs(answer["draw_plan"]["minutes_per_hour"] - a_day[0]) <= 1.0


def test_questions_that_are_not_weighed_change_nothing_else() -> None:
    status = read_status(HOT)
    weighed, plain = advise(status), advise(status, weighed=False)
    assert plain.pop("ask_next")[0]["changes_first_action"] is None
    assert weighed.pop("ask_next")[0]["changes_first_action"] is not None
    assert plain == weighed


def test_outlook_and_advice_have_one_plan() -> None:
    status = read_status({**HOT, **YOUNG_AND_DRAWN})
    assert outlook_shown(outlook_of(status))["draw_plan"] == advise(status)["draw_plan"]


def test_what_a_strong_pump_takes_while_it_runs_is_counted() -> None:
    strong = picture_of(read_status({**HOT, **DRAINED}))
    assert strong.usual_plan is not None and strong.accounts.asked is not None
    assert strong.accounts.burst_draw is not None
    while_it_runs = strong.accounts.asked.value * 24.0
    assert while_it_runs > strong.accounts.burst_draw.value
    assert strong.usual_plan.running * while_it_runs < strong.accounts.asked.value
    assert strong.derived.facts["plan_says"] == "less"


OUT_OF_ORDER = [
    ({"draw": {"water": {"flow": 4}}, "signs": ["pipe_burst"]}, "check_loop"),
    ({"draw": {"water": {"flow": 4}}, "signs": ["no_flow_in_loop"]}, "check_loop"),
    ({"draw": {"air": {"flow": 80, "path": "closed_duct"}}, "signs": ["fan_stopped"]}, "check_fan"),
    ({"draw": {}, "equipment": ["water_loop"], "signs": ["pipe_frozen"]}, "check_loop"),
]


@pytest.mark.parametrize(("changed", "first"), OUT_OF_ORDER, ids=["leak", "no flow", "fan", "frozen"])
def test_what_is_out_of_order_is_mended_and_not_set(changed: dict[str, Any], first: str) -> None:
    bare = {key: value for key, value in HOT.items() if key not in ("draw", "equipment")}
    answer = advise(read_status(bare | changed), "none")
    moves, plan = [action["action"] for action in answer["actions"]], answer["draw_plan"]
    assert first in moves[:2]
    assert not {"raise_draw", "reduce_draw"} & set(moves)
    assert (plan["by"], plan["minutes_per_hour"], plan["text"][:5]) == ("off", 0.0, "Leave")
    assert answer["energy"]["asked"]["value"] == 0.0


def test_the_duct_is_planned_where_the_loop_is_out_of_order_or_off() -> None:
    fan = {"flow": 40, "path": "closed_duct", "outlet_to": "greenhouse", "minutes_per_hour": 10, "hours_per_day": 12}
    off = _plan("none", draw={"air": fan, "water": {"flow": 0}})
    burst = _plan("none", draw={"air": fan, "water": {"flow": 4}}, signs=["pipe_burst"])
    runs = _plan("none", draw={"air": fan, "water": {"flow": 4}})
    assert [plan and plan["way"] for plan in (off, burst, runs)] == ["air", "air", "water"]


def test_what_is_off_for_now_is_off_for_a_hub_too() -> None:
    falling = [{"at": "2026-11-16T07:30:00Z", "core": 63}]
    plan = _plan("none", temperatures={"core": 57}, history=falling, draw={"water": {"flow": 0}})
    assert plan is not None
    assert (plan["by"], plan["minutes_per_hour"]) == ("off", 0.0)
    assert plan["text"].startswith("Leave the pump off for now")


def test_a_loop_that_nobody_described_gains_by_its_first_minutes() -> None:
    bare = {key: value for key, value in HOT.items() if key not in ("draw", "equipment")}
    answer = advise(read_status({**bare, "equipment": ["water_loop"]}))
    raised = next(action for action in answer["actions"] if action["action"] == "raise_draw")
    gain, plan = raised["effect"]["heat_to_goal"], answer["draw_plan"]
    assert gain["value"] > 10.0 and gain["low"] > 0.0, gain
    assert gain["value"] == pytest.approx(plan["heat"]["value"] - plan["heat_as_now"]["value"], rel=0.05)
    assert "too small" not in (raised["effect"]["note"] or "")


def test_a_heap_drawn_to_the_cold_in_days_is_told_to_give_less_by_both_ways_of_asking() -> None:
    """A core falls towards what flows in, ever slower: half the fall is far less than half the draw."""
    water = {"flow": 3, "inlet": 8, "outlet": 24, "minutes_per_hour": 60, "hours_per_day": 24, "loop": "closed"}
    status = read_status(
        {
            "as_of": "2026-01-18T08:00:00Z",
            "season": "heating",
            "pile": {"age": 45, "size": {"volume": 25}, "cover": "none", "wind": "exposed"},
            "temperatures": {"core": 56, "outdoor": -3},
            "weather": {"low": -7, "wind_speed": 6},
            "moisture_feel": "damp",
            "draw": {"water": water},
        }
    )
    quick, full = (
        next(
            dose["value"]
            for move in advise(status, effects)["actions"]
            for dose in move["doses"]
            if move["action"] == "reduce_draw" and dose["of"] == "water_minutes_per_hour"
        )
        for effects in ("none", "full")
    )
    assert full <= 25 and quick <= 1.3 * full
