"""A pump or fan that is found standing: what it took until then is no riddle, and its setting draws nothing now."""

from __future__ import annotations

from typing import Any

import pytest

from service.answer.advice import advise
from service.machines.hub.now import in_short
from service.picture.picture import picture_of
from service.status.reading import read_status

DRAINED: dict[str, Any] = {
    "as_of": "2026-01-18T07:30:00Z",
    "pile": {
        "age": 60,
        "size": {"volume": 14},
        "ingredients": [
            {"material": "wood_chips", "amount": "11 m3"},
            {"material": "horse_manure", "amount": "4 m3"},
        ],
        "moisture": 52,
    },
    "temperatures": {"core": 46, "outdoor": 2},
    "history": [{"at": f"2026-01-{11 + day}T07:30:00Z", "core": 60 - 2 * day} for day in range(7)],
    "goal": {"until": "2026-03-01"},
}
LOOP: dict[str, Any] = {"water": {"flow": 5, "minutes_per_hour": 60, "hours_per_day": 24, "inlet": 10}}
FAN: dict[str, Any] = {"air": {"flow": 200, "minutes_per_hour": 60, "path": "closed_duct", "outlet": 35, "inlet": 5}}


def _moves(answer: dict[str, Any]) -> list[str]:
    return [action["action"] for action in answer["actions"]]


@pytest.mark.parametrize(("draw", "sign"), [(LOOP, "no_flow_in_loop"), (LOOP, "power_out"), (FAN, "fan_stopped")])
def test_what_was_drawn_until_it_stopped_explains_the_fall(draw: dict[str, Any], sign: str) -> None:
    answer = advise(read_status({**DRAINED, "draw": draw, "signs": [sign]}), "none")
    assert "find_the_cause" not in _moves(answer)
    assert "wait" in _moves(answer)
    assert answer["heat_balance"]["stored"] is None
    assert answer["energy"]["asked"]["value"] == 0.0


def test_the_log_is_run_under_the_draw_of_then() -> None:
    def ahead(**told: Any) -> tuple[float, float]:
        picture = picture_of(read_status({**DRAINED, **told}))
        return float(picture.derived.facts["fall_7_days_k"]), picture.accounts.season_draw.value

    runs = ahead(draw=LOOP)
    stands = ahead(draw=LOOP, signs=["no_flow_in_loop"])
    undrawn = ahead(draw={"water": {"flow": 0}})
    assert stands[0] < 0.5 * undrawn[0], "a heap that fell under a draw does not fall so without"
    assert stands[0] < runs[0]
    assert stands[1] > 2.0 * undrawn[1]


def test_one_that_was_off_anyway_changes_nothing() -> None:
    off: dict[str, Any] = {"draw": {"water": {"flow": 0}}}
    told = picture_of(read_status({**DRAINED, **off, "signs": ["no_flow_in_loop"]})).derived.facts
    assert "drawn_until_stopped" not in told


def test_a_burst_loop_stays_off_beside_a_fan_that_may_be_set() -> None:
    fan = {"air": {"flow": 40, "path": "closed_duct", "outlet_to": "greenhouse", "minutes_per_hour": 5}}
    body = {
        **DRAINED,
        "temperatures": {"core": 62, "outdoor": 2},
        "history": [],
        "draw": {**fan, "water": {"flow": 4}},
        "signs": ["pipe_burst"],
    }
    answer = advise(read_status(body), "none")
    cautions = [caution["rule"] for action in answer["actions"] for caution in action["cautions"]]
    assert cautions.count("breakdown.by-the-fan-alone") == 1
    assert answer["draw_plan"]["way"] == "air"


def _plan_of(water: dict[str, Any], control: str | None = None, **told: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    draw = {"water": water} | ({} if control is None else {"control": control})
    body = {**DRAINED, "temperatures": {"core": 33, "outdoor": 2}, "history": [], "draw": draw, **told}
    answer = advise(read_status(body), "none")
    return answer["draw_plan"], in_short(answer)


@pytest.mark.parametrize(
    ("control", "minutes", "by"), [(None, 20, "timer"), ("hand", 6, "timer"), ("thermostat", 20, "core")]
)
def test_a_draw_that_is_left_as_it_is_gives_a_hub_no_cores_to_change_it_by(
    control: str | None, minutes: float, by: str
) -> None:
    plan, page = _plan_of({**LOOP["water"], "minutes_per_hour": minutes}, control)
    assert plan["text"].startswith("Leave the pump set as it is")
    assert (plan["by"], plan["hours"]) == (by, "all")
    assert (plan["minutes_per_hour"], plan["hours_per_day"]) == (minutes, 24)
    assert (page["start_at_c"] is not None) is (by == "core")


def test_more_that_is_warned_off_is_no_thermostats_either() -> None:
    drawn = {"flow": 2, "minutes_per_hour": 20, "inlet": 10, "outlet": 30}
    plan, page = _plan_of(drawn, "thermostat", temperatures={"core": 47, "outdoor": 2})
    assert plan["text"].startswith("Draw no more")
    assert plan["by"] == "timer"
    assert page["start_at_c"] is None


@pytest.mark.parametrize("hottest", [64, 66])
def test_a_spot_that_is_too_hot_leads_the_plan_wherever_it_was_read(hottest: float) -> None:
    """From 65 degC on heat is drawn around the clock, whatever the deep core says."""
    points = [{"value": hottest, "side": "south", "depth": 0.3}, {"value": 44, "depth": 1.1}]
    body = {**DRAINED, "temperatures": {"points": points, "outdoor": 2}, "history": [], "draw": LOOP}
    picture = picture_of(read_status(body))
    assert picture.plan is not None
    assert picture.plan.chosen.hours == ("all" if hottest >= 65 else "night")


def test_no_more_by_a_duct_that_holds_water() -> None:
    fan = {"air": {"flow": 50, "path": "closed_duct", "minutes_per_hour": 20}, "water": {"flow": 0}}
    body = {**DRAINED, "temperatures": {"core": 56, "outdoor": 3}, "history": [], "draw": fan}
    wet, dry = (advise(read_status({**body, "signs": signs}), "none") for signs in (["water_in_duct"], []))
    assert "raise_draw" in {avoid["action"] for avoid in wet["avoid"]}
    plan = wet["draw_plan"]
    assert plan["minutes_per_hour"] * plan["hours_per_day"] <= 20 * 24
    assert "raise_draw" not in {avoid["action"] for avoid in dry["avoid"]}
