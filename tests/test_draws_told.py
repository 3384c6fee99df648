"""What is told of a draw counts, whatever is not: the sum asked, its range, and the advice that follows."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.answer.advice import advise
from service.heat.physics.water_loop import WATER_HEAT
from service.status.reading import read_status
from tests.each import each

LOOP: dict[str, Any] = {"flow": 6, "minutes_per_hour": 60, "hours_per_day": 24, "inlet": 10, "outlet": 28.6}
HEAP: dict[str, Any] = {
    "as_of": "2026-01-18T07:30:00Z",
    "pile": {"age": 60, "size": {"volume": 12}},
    "temperatures": {"core": 55, "outdoor": 0},
}


def told(**more: Any) -> dict[str, Any]:
    return advise(read_status(HEAP | more), "none")


@each([{}, {"equipment": ["water_loop"]}, {"equipment": ["water_loop", "air_duct"]}])
def test_a_loop_that_takes_too_much_is_told_so_whether_or_not_equipment_is(fitted: dict[str, Any]) -> None:
    answer = told(draw={"water": LOOP}, **fitted)
    # flow times heat capacity times warming: 0.1 kg/s x 4186 J/(kg K) x 18.6 K (first law of thermodynamics)
    assert answer["energy"]["asked"]["value"] == pytest.approx(0.1 * WATER_HEAT * 18.6, rel=0.01)
    assert answer["actions"][0]["action"] in ("reduce_draw", "pause_draw")


def test_an_untold_duct_is_taken_as_none_and_listed() -> None:
    answer = told(draw={"water": LOOP})
    (duct,) = [item for item in answer["assumed"] if item["field"] == "/draw/air"]
    assert duct["value"] == 0 < duct["high"]
    assert not [
        item for item in told(draw={"water": LOOP}, equipment=["water_loop"])["assumed"] if item["field"] == "/draw/air"
    ]


@each(["flow", "minutes_per_hour", "hours_per_day"])
def test_what_was_not_told_of_a_draw_widens_what_is_asked(left_out: str) -> None:
    part = {name: value for name, value in LOOP.items() if name not in (left_out, "outlet")} | {"tube": "plastic"}
    whole, answer = told(draw={"water": {**part, left_out: LOOP[left_out]}}), told(draw={"water": part})
    asked, sure = answer["energy"]["asked"], whole["energy"]["asked"]
    assert asked["high"] / max(asked["low"], 1) > sure["high"] / max(sure["low"], 1)
    assert f"/draw/water/{left_out}" in [item["field"] for item in answer["assumed"]]


def test_nothing_is_asked_where_no_draw_was_told() -> None:
    assert told()["energy"]["asked"] is None
    assert told(equipment=["water_loop"])["energy"]["asked"] is None
    assert told(draw={"water": {"tube": "copper"}})["energy"]["asked"] is None
    assert told(equipment=[])["energy"]["asked"]["value"] == 0
    assert told(draw={"water": LOOP | {"minutes_per_hour": 0}})["energy"]["asked"]["value"] == 0


@settings(deadline=None, max_examples=10)
@given(st.sampled_from([0, 10, 30, 60, None]), st.sampled_from([0, 4, 24, None]), st.sampled_from([0, 1, 6, None]))
def test_both_draws_together_are_the_sum_of_each(minutes: int | None, hours: int | None, flow: float | None) -> None:
    loop = {"minutes_per_hour": minutes, "hours_per_day": hours, "flow": flow, "tube": "plastic"}
    duct = {"flow": 60, "minutes_per_hour": 20, "hours_per_day": 24, "path": "closed_duct"}
    both = told(draw={"water": loop, "air": duct})["energy"]["asked"]
    air, water = told(draw={"air": duct})["energy"]["asked"], told(draw={"water": loop})["energy"]["asked"]
    alone = 0 if water is None else water["value"]
    assert both["value"] == pytest.approx(air["value"] + alone, rel=0.25, abs=5)


@each(["none", "full"])
def test_what_was_taken_for_granted_is_asked_about_first_and_said(effects: Any) -> None:
    loop = {"flow": 6, "minutes_per_hour": 60, "inlet": 10, "tube": "copper", "tube_length": 60}
    answer = advise(read_status(HEAP | {"draw": {"water": loop}}), effects)
    assert answer["actions"][0]["action"] == "reduce_draw"
    assert answer["ask_next"][0]["field"] == "/draw/water/hours_per_day"
    first, second = answer["actions"][0]["reasons"][:2]
    assert first["rule"] == "balance.likely-beyond-season"
    assert first["text"].startswith("Not all of flow, minutes and hours was told.")
    assert second["rule"].startswith("draw.taken-for-granted")


@pytest.mark.parametrize("ends", [{"inlet": 30, "outlet": 22}, {"inlet": 30, "outlet": 29}])
def test_an_outlet_that_cannot_be_is_not_counted_with(ends: dict[str, float]) -> None:
    whole = {name: value for name, value in LOOP.items() if name not in ("inlet", "outlet")}
    answer, unread = told(draw={"water": whole | ends}), told(draw={"water": whole})
    assert answer["energy"]["asked"] == unread["energy"]["asked"]
    assert "check_probe" in [action["action"] for action in answer["actions"]]
    (doubted,) = [item["why"] for item in answer["assumed"] if item["field"] == "/draw/water/inlet"]
    assert "cannot be" in doubted
    warmed = told(temperatures={"core": 24}, draw={"water": whole | ends})
    assert not [item for item in warmed["assumed"] if "cannot be" in item["why"]]


def test_a_cool_core_that_the_plan_still_draws_is_not_said_to_give_nothing() -> None:
    mix = [{"material": "wood_chips", "amount": "9 m3"}, {"material": "cattle_manure", "amount": "4 m3"}]
    heap = {
        **{"as_of": "2026-02-20T08:00:00Z", "pile": {"age": 100, "size": {"volume": 11}, "ingredients": mix}},
        **{"moisture_feel": "dry", "moisture_feel_at": "arm_deep"},
        "draw": {"water": {"flow": 2, "minutes_per_hour": 10}},
    }
    drawn = []
    for core in (28, 22):
        answer = told(temperatures={"core": core, "outdoor": 3}, **heap)
        drawn.append(answer["draw_plan"]["minutes_per_hour"] > 0)
        assert ("while the core is this cold" in answer["energy"]["verdict"]) is not drawn[-1]
        assert ("There is no heat to draw" in str(answer["avoid"])) is not drawn[-1]
    assert drawn == [True, False]


def test_a_draw_of_a_heap_of_untold_size_is_raised_by_a_small_step_at_most() -> None:
    answer = advise(
        read_status(
            {
                "as_of": "2026-04-12T18:30:00+00:00",
                "season": "heating",
                "pile": {"age": 82},
                "temperatures": {"outdoor": 15.3},
                "goal": {"keep_core_above": 30},
                "draw": {"water": {"tube_length": 15, "minutes_per_hour": 20}},
                "history": [
                    {"at": "2026-04-07T18:30:00+00:00", "core": 52.8},
                    {"at": "2026-03-28T18:30:00+00:00", "core": 50.9},
                ],
            }
        ),
        "none",
    )
    raised = [dose for each in answer["actions"] if each["action"] == "raise_draw" for dose in each["doses"]]
    assert [dose["value"] for dose in raised] == [30.0]


def test_a_fan_that_may_blow_gas_in_is_off_before_the_stove_is_lit() -> None:
    answer = advise(
        read_status(
            {
                "as_of": "2026-04-01T08:30:00+00:00",
                "pile": {"built_on": "2026-03-27"},
                "draw": {"air": {"minutes_per_hour": 5}},
                "greenhouse": {"volume": 65},
                "weather": {"low": 0.5},
                "history": [{"at": "2026-03-28T08:30:00+00:00", "core": 28.6}],
                "people": ["cough"],
            }
        ),
        "none",
    )
    named = [each["action"] for each in answer["actions"]]
    assert named.index("pause_draw") < named.index("light_backup_heat")
