"""The outlook as it goes out: shape, order, agreement of its parts, and what it says in words."""

from __future__ import annotations

import csv
import io
import json
import math
from functools import cache
from math import floor
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.actions.effects import fresh_heap
from service.course.heap import heap_of
from service.course.run import courses
from service.outlook.answer import outlook_of, outlook_shown
from service.outlook.shape import OutlookAnswer
from service.outlook.table import outlook_as_csv
from service.picture.picture import picture_of
from tests.each import each
from tests.outlook.statuses import SMALLEST, STEADY, Body, status_of
from tests.shapes import shaped
from tests.strategies import bodies

DEAD: Body = {**SMALLEST, "pile": {"age": 900}, "temperatures": {"core": 8, "outdoor": -4}, "moisture_feel": "dusty"}
OVERDRAWN: Body = {
    **STEADY,
    "draw": {"water": {"flow": 4, "minutes_per_hour": 60, "tube": "copper", "tube_length": 30, "inlet": 6}},
}


def shown(body: Body, days: int | None = 30, **changed: Any) -> dict[str, Any]:
    return outlook_shown(outlook_of(status_of(body, **changed), days))


def numbers_in(part: object) -> list[float]:
    if isinstance(part, dict):
        return [number for value in part.values() for number in numbers_in(value)]
    if isinstance(part, list):
        return [number for value in part for number in numbers_in(value)]
    return [part] if isinstance(part, (int, float)) and not isinstance(part, bool) else []


@cache
def steady() -> Any:
    """The outlook of a steady heap, worked out once."""
    return shown(STEADY)


@settings(max_examples=3, deadline=None)
@given(body=bodies(), days=st.sampled_from([1, 2, 30, 31, 90]))
def test_any_status_has_an_outlook_of_the_described_shape(body: Body, days: int) -> None:
    answer = shown(body, days)
    shaped(OutlookAnswer, json.dumps(answer))
    assert all(map(math.isfinite, numbers_in(answer)))
    for name in ("core", "outdoor", "heat_drawn"):
        course = answer[name]
        assert len(course["low"]) == len(course["median"]) == len(course["high"]) == len(answer["at"]) == days + 1
        pairs = zip(course["low"], course["median"], course["high"], strict=True)
        assert all(low <= median <= high for low, median, high in pairs)


def test_the_same_status_has_the_same_outlook() -> None:
    assert shown(STEADY) == steady()
    assert steady()["id"] != shown(STEADY, 2)["id"]


@each([({"until": "2026-02-01"}, 14), (None, 30), ({"until": "2026-01-19"}, 1), ({"until": "2027-02-01"}, 90)], every=2)
def test_without_days_it_looks_to_the_goals_date(goal: Body | None, days: int) -> None:
    assert shown(STEADY, None, goal=goal)["days"] == days


def test_the_answer_is_in_the_units_of_the_status_or_those_asked_for() -> None:
    metric, us = steady(), outlook_shown(outlook_of(status_of(STEADY), 30), "us")
    assert (metric["core"]["unit"], us["core"]["unit"]) == ("degC", "degF")
    assert us["keep_core_above"] == {"value": 104.0, "unit": "degF"}
    assert us["core"]["median"][0] == pytest.approx(metric["core"]["median"][0] * 1.8 + 32, abs=0.6)
    assert us["season_draw"]["power"]["unit"] == "BTU/h"


def test_energy_closes_member_by_member() -> None:
    picture = picture_of(status_of(STEADY))
    heap = heap_of(picture, 30)
    now, *_ = courses(heap, fresh_heap(picture.estimate))
    flows = now.ledger
    lost = flows.ground_and_air + flows["evaporation"] + flows["drainage"] - flows["rain"]
    assert lost + flows.drawn + flows.stored == pytest.approx(flows["made"], rel=1e-9)
    assert np.median(now.drawn_j[-1]) > 0


def test_an_overdrawn_heap_cools_and_rest_would_keep_it() -> None:
    answer, rested = shown(OVERDRAWN), shown(STEADY, draw={"water": {"flow": 4, "minutes_per_hour": 0}})
    assert answer["days_until_cool"]["value"] < 14 and answer["days_until_cool"]["high"] < 30
    cool, rest = answer["days_until_cool"], answer["days_until_cool_at_rest"]
    assert rest is None or rest["value"] > cool["value"] + 5
    assert "nothing drawn" in answer["description"]
    assert rested["days_until_cool"] == rested["days_until_cool_at_rest"]
    assert rested["heat_drawn"]["high"][-1] == 0


def test_a_dead_heap_gives_nothing_and_says_so() -> None:
    answer = shown(DEAD)
    assert answer["days_until_warm"] is None and answer["days_until_cool"] is None
    assert answer["season_draw"]["power"]["value"] == 0 and answer["heat_available"]["value"] == 0
    assert answer["next_heap"]["begin"] is None and "new heap" in answer["next_heap"]["text"]
    assert "Nothing can be drawn" in answer["description"]


def test_a_young_heap_is_first_awaited() -> None:
    answer = shown(STEADY, pile={**STEADY["pile"], "age": 2}, temperatures={"core": 22, "outdoor": 4}, draw=None)
    # warm-up in 3 to 5 days, up to two weeks in cold (handbooks, from memory)
    assert 1 < answer["days_until_warm"]["value"] < 14
    assert answer["season_draw"]["begins_in"]["value"] >= answer["days_until_warm"]["value"]
    assert "likely to reach 40 °C" in answer["headline"]


def test_the_next_heap_is_begun_before_this_one_is_too_cool() -> None:
    answer = shown(
        OVERDRAWN, temperatures={"core": 62, "outdoor": -2}, pile={**STEADY["pile"], "size": {"mass": "20 t"}}
    )
    begin, today = answer["next_heap"]["begin"], answer["as_of"][:10]
    assert today <= begin["low"] <= begin["value"] <= begin["high"] <= answer["at"][-1][:10]
    # warm-up in 3 to 5 days, up to two weeks in cold (handbooks, from memory)
    assert 2 < answer["next_heap"]["warm_up"]["value"] < 15


def test_heat_available_is_the_season_draw_over_its_days() -> None:
    answer = steady()
    days = 30 - answer["season_draw"]["begins_in"]["value"]
    megajoules = answer["season_draw"]["power"]["value"] * days * 86400 / 1e6
    # both are rounded to two digits, for their ranges are wide
    assert answer["heat_available"]["value"] == pytest.approx(megajoules, rel=0.06)


def test_a_higher_limit_is_reached_sooner() -> None:
    low, high = shown(OVERDRAWN, goal={"keep_core_above": 35}), shown(OVERDRAWN, goal={"keep_core_above": 50})
    assert high["days_until_cool"]["value"] < low["days_until_cool"]["value"]


@each(
    [
        (45, ["smoke"], "call the fire service"),
        ("86 degC", [], "call the fire service"),
        (76, [], "overheating"),
        ("400 degC", [], "call the fire service"),
    ],
    every=2,
)
def test_fire_comes_before_any_outlook(core: object, signs: list[str], words: str) -> None:
    assert words in shown(SMALLEST, 2, temperatures={"core": core}, signs=signs)["warning"]


def test_an_ordinary_heap_has_no_warning() -> None:
    assert steady()["warning"] is None


def test_words_and_numbers_agree() -> None:
    answer = steady()
    for day in (7, 30):
        for end in ("low", "median", "high"):
            core = answer["core"][end][day]
            # Rounded itself, and told to the tenth where a whole degree would cross a limit
            told = (f"{floor(core + 0.5)} °C", f"{floor(core + 0.45)} °C", f"{core:g} °C")
            assert any(words in answer["description"] for words in told)
    assert answer["headline"] in answer["description"]
    assert answer["next_heap"]["text"] in answer["description"]


def test_the_table_holds_the_courses() -> None:
    outlook = outlook_of(status_of(STEADY), 12)
    answer, text = outlook_shown(outlook), outlook_as_csv(outlook)
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert text.count("\r\n") == 14 and text.endswith("\r\n")
    assert [row["day"] for row in rows] == [str(day) for day in range(13)]
    assert [row["date"] for row in rows] == [moment[:10] for moment in answer["at"]]
    for name, unit in (("core", "degC"), ("outdoor", "degC"), ("heat_drawn", "MJ")):
        for end in ("low", "median", "high"):
            assert [float(row[f"{name}_{end}_{unit}"]) for row in rows] == answer[name][end]


def test_a_table_can_be_had_in_other_units() -> None:
    heading = outlook_as_csv(outlook_of(status_of(STEADY), 1), "us").splitlines()[0]
    assert "core_median_degF" in heading and "heat_drawn_high_BTU" in heading
