"""The draw plan of an answer: what it must keep to, whatever the heap."""

from __future__ import annotations

from typing import Any

import pytest

from service.answer.advice import advise
from service.status.reading import read_status

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


def test_degrees_are_those_of_the_reader() -> None:
    metric, us = _plan(), advise(read_status(HOT), units="us")["draw_plan"]
    assert metric is not None
    assert us["unit"] == "degF"
    assert us["start_at"] == pytest.approx(metric["start_at"] * 1.8 + 32.0, abs=1.0)
