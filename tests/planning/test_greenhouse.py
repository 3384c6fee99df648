"""`POST /greenhouse`: laws, shape of the answer, and refusals."""

from __future__ import annotations

import copy
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.answer.advice import advise
from service.planning.greenhouse import answer_greenhouse
from service.planning.shapes.greenhouse import GreenhouseRequest
from service.planning.shapes.greenhouse_answer import GreenhousePlan
from service.status.reading import read_model, read_status
from tests.each import each

from .asking import COLD_MONTHS, HOUSE, Body, ask, pointers, problem_in

FIRE = "eep clear of the heap and call the fire service"
GLAZINGS = ["single_film", "double_film", "glass", "double_glass", "twin_wall"]
WHOLE: Body = {
    "units": "us",
    "house": {
        "volume": "3900 ft3",
        "glazing": "glass",
        "night_target": "43 F",
        "day_target": "64 F",
        "water": "200 gal",
    },
    "outdoor": {"monthly": COLD_MONTHS, "design": "10 degF"},
    "period": {"start": "2025-11-15", "until": "2026-03-15"},
    "pile": {"draw": {"value": 3000, "low": 1500, "high": 5000, "unit": "BTU/h"}, "when": "always"},
    "draw": {
        "air": {"flow": "88 cfm", "inlet": "43 F", "outlet": "86 F", "minutes_per_hour": 30},
        "water": {"flow": "0.5 gpm", "inlet": "60 F", "outlet": "75 F", "pump_power": "15 W"},
    },
    "off_grid": {"sun_hours": 1.5, "days_without_sun": 4, "voltage": 24},
}


def answered(body: Body) -> Body:
    return answer_greenhouse(read_model(body, GreenhouseRequest, "A question about a house")).model_dump()


def with_air(air_c: float, **house: Any) -> Body:
    return {"house": HOUSE | house, "outdoor": {"design": air_c}}


def days(count: int, low: float, high: float, first: date = date(2026, 1, 1)) -> list[Body]:
    return [{"date": (first + timedelta(days=number)).isoformat(), "low": low, "high": high} for number in range(count)]


# --- laws


@settings(deadline=None, max_examples=30)
@given(air=st.floats(-30, 5), colder=st.floats(0.5, 10), glazing=st.sampled_from(GLAZINGS))
def test_colder_air_takes_more_heat(air: float, colder: float, glazing: str) -> None:
    mild, cold = (answered(with_air(c, glazing=glazing))["coldest_night"]["needed"] for c in (air, air - colder))
    assert all(cold[end] > mild[end] for end in ("value", "low", "high"))


@settings(deadline=None, max_examples=30)
@given(area=st.floats(20, 500), more=st.floats(1.02, 3), changes=st.floats(0.1, 5))
def test_more_glazing_and_more_leaks_take_more_heat(area: float, more: float, changes: float) -> None:
    def need(**house: Any) -> float:
        needed: float = answered(with_air(-10, **house))["coldest_night"]["needed"]["value"]
        return needed

    base = need(glazing_area=area, air_changes=changes)
    assert need(glazing_area=area * more, air_changes=changes) > base
    assert need(glazing_area=area, air_changes=changes * more) > base * 0.999


@settings(deadline=None, max_examples=25)
@given(draw=st.floats(0, 20), more=st.floats(0, 10), when=st.sampled_from(["when_needed", "always"]))
def test_more_from_the_heap_leaves_less_for_the_stove(draw: float, more: float, when: str) -> None:
    def plan(kw: float) -> Body:
        return answered(
            {"house": HOUSE, "outdoor": {"monthly": COLD_MONTHS}, "pile": {"draw": f"{kw} kW", "when": when}}
        )

    less, much = plan(draw), plan(draw + more)
    for part in ("coldest_night", "season"):
        assert much[part]["stove"]["value"] <= less[part]["stove"]["value"] * 1.001
        assert 0 <= much[part]["stove_share"]["value"] <= 100
    season = much["season"]
    assert season["from_pile"]["value"] + season["stove"]["value"] == pytest.approx(season["needed"]["value"], rel=0.01)


def test_a_heap_drawn_when_needed_covers_no_less_than_one_drawn_always() -> None:
    base = {"house": HOUSE, "outdoor": {"daily": days(40, -8, 4)}}
    saved = answered(base | {"pile": {"draw": "1.5 kW"}})["season"]["from_pile"]["value"]
    always = answered(base | {"pile": {"draw": "1.5 kW", "when": "always"}})["season"]["from_pile"]["value"]
    assert saved > 1.3 * always


def test_what_fan_and_pump_cannot_carry_is_not_counted() -> None:
    base = {"house": HOUSE, "outdoor": {"daily": days(10, -8, 4)}, "pile": {"draw": "3 kW"}}
    free = answered(base)["season"]["from_pile"]["value"]
    narrow = answered(base | {"draw": {"air": {"flow": 60, "inlet": 6, "outlet": 30}}})
    assert narrow["pile"]["most_carried"]["value"] < 600
    assert narrow["season"]["from_pile"]["value"] < 0.25 * free


def test_degree_hours_of_a_steady_cold_are_kelvins_times_hours_of_night() -> None:
    # 6 degC wanted, -4 outside: 10 K over 14 hours a night
    season = answered({"house": HOUSE, "outdoor": {"daily": days(30, -4, -4)}})["season"]
    assert season["degree_hours"]["value"] == pytest.approx(10 * 14 * 30, rel=0.005)
    assert season["nights"] == 30 and season["nights_needing_heat"]["value"] == 30
    by_day = answered({"house": HOUSE | {"day_target": 6}, "outdoor": {"daily": days(30, -4, -4)}})["season"]
    assert by_day["degree_hours"]["value"] == pytest.approx(10 * 24 * 30, rel=0.005)


def test_season_total_is_loss_times_degree_hours() -> None:
    plan = answered({"house": HOUSE, "outdoor": {"daily": days(60, -7, 3)}})
    joules = plan["loss"]["by_night"]["value"] * plan["season"]["degree_hours"]["value"] * 3600
    assert plan["season"]["needed"]["value"] * 1e6 == pytest.approx(joules, rel=0.01)
    months = sum(month["needed"]["value"] for month in plan["months"])
    assert months == pytest.approx(plan["season"]["needed"]["value"], rel=0.01)


def test_hours_days_and_months_tell_the_same_winter() -> None:
    swing = np.cos(2 * np.pi * (np.arange(24) + 0.5 - 15) / 24)
    hourly = {"start": "2026-01-01T00:00:00Z", "values": [round(-3 + 5 * float(s), 6) for s in swing] * 31}
    tables: list[Body] = [
        {"hourly": hourly},
        {"daily": days(31, -8, 2)},
        {"monthly": [{"month": 1, "low": -8, "high": 2}]},
    ]
    totals = [answered({"house": HOUSE, "outdoor": table})["season"]["needed"]["value"] for table in tables]
    assert totals == pytest.approx([totals[0]] * 3, rel=0.005)


def test_the_coldest_night_comes_first_and_its_stove_share_is_told() -> None:
    table = days(20, -2, 5)
    table[7] = table[7] | {"low": -15, "high": -6}
    plan = answered({"house": HOUSE, "outdoor": {"daily": table}, "pile": {"draw": "1 kW"}})
    first = plan["nights"][0]
    assert first["night"] in ("2026-01-07", "2026-01-08") and first["low"]["value"] == pytest.approx(-15, abs=0.2)
    shares = [night["stove_share"]["value"] for night in plan["nights"]]
    assert shares == sorted(shares, reverse=True)
    assert plan["coldest_night"]["outdoor"]["value"] == pytest.approx(-15, abs=0.2)


def test_months_warn_that_they_hide_cold_spells_and_widen_the_total() -> None:
    plan = answered({"house": HOUSE, "outdoor": {"monthly": COLD_MONTHS}})
    assert any("cold spells" in note["text"] for note in plan["notes"])
    assert any(each["field"] == "/outdoor/design" for each in plan["assumed"])
    exact = answered({"house": HOUSE, "outdoor": {"daily": days(31, -8, 1)}})

    def width(q: Body) -> float:
        return float((q["high"] - q["low"]) / q["value"])

    assert width(plan["season"]["needed"]) > width(exact["season"]["needed"])
    assert plan["nights"] == [] and plan["season"]["start"] is None


def test_savings_do_not_exceed_the_need() -> None:
    plan = answered({"house": HOUSE | {"water": "50 m3"}, "outdoor": {"daily": days(30, -5, 3)}})
    for saving in plan["savings"]:
        assert saving["coldest_night"]["value"] <= plan["coldest_night"]["needed"]["value"]
        assert 0 < saving["season"]["value"] <= plan["season"]["needed"]["value"]


def test_a_barrel_gives_what_its_water_holds() -> None:
    # 1000 kg x 4186 J/(kg.K) x 3 K over 14 hours (physics; the swing is common practice, no source)
    plan = answered(with_air(-20, water="1 m3"))
    barrels = next(each for each in plan["savings"] if each["measure"] == "water_barrels")["coldest_night"]
    assert barrels["value"] == pytest.approx(1000 * 4186 * 3 / (14 * 3600), rel=0.01)
    assert barrels["low"] == 0  # after dull days they are cold


def test_panel_and_battery_follow_duty_and_sun() -> None:
    # 25 W all day is 600 Wh; over 2 h of sun and a yield of 0.65 a panel of 462 W; 3 days at 12 V, half of it usable
    body = with_air(-10) | {
        "draw": {"air": {"flow": 100, "fan_power": "25 W", "hours_per_day": 24}},
        "off_grid": {"sun_hours": 2},
    }
    told = answered(body)["off_grid"]
    assert told["electricity"]["value"] == pytest.approx(600)
    assert told["panel"]["value"] == pytest.approx(462, abs=1) and told["battery"]["value"] == pytest.approx(300)


def test_heat_moved_over_electricity() -> None:
    body = with_air(-10) | {"draw": {"air": {"flow": 150, "inlet": 6, "outlet": 30, "fan_power": "25 W"}}}
    air = answered(body)["air"]
    assert air["heat_per_electricity"]["value"] == pytest.approx(air["to_house"]["value"] / 25, rel=0.01)


def test_a_status_gives_its_season_draw() -> None:
    status = {
        "as_of": "2026-01-18T07:30:00Z",
        "pile": {"age": 20, "size": {"volume": "20 m3"}},
        "temperatures": {"core": 58},
    }
    plan = answered(with_air(-10) | {"pile": {"status": status}})
    assert plan["pile"]["draw"] == advise(read_status(status), "none")["energy"]["season_draw"]


@each([{"temperatures": {"core": "85 degC"}}, {"signs": ["smoke"], "temperatures": {"core": 50}}])
def test_a_heap_on_fire_is_told_to_keep_clear_of_and_gives_nothing(burning: Body) -> None:
    plan = answered(with_air(-10) | {"pile": {"status": {"pile": {"age": 20}, **burning}}})
    assert FIRE in plan["headline"] and plan["pile"]["keep_clear"] and plan["pile"]["draw"]["value"] == 0


# --- shape


@each(
    [
        {"house": {"volume": 60}, "outdoor": {"design": -10}},
        {"house": {"volume": 60}, "outdoor": {"monthly": COLD_MONTHS}},
        WHOLE,
        {"house": HOUSE, "outdoor": {"design": 20}, "pile": {"draw": 0}},
        {"house": HOUSE, "outdoor": {"daily": days(1, 3, 3)}, "pile": {"draw": 1}},
        {
            "house": HOUSE,
            "outdoor": {"daily": days(5, -3, 3)},
            "period": {"start": "2020-01-01", "until": "2020-02-01"},
        },
        {
            "house": HOUSE,
            "outdoor": {"hourly": {"start": "2026-01-01T17:30:00+05:00", "values": [1]}},
            "pile": {"draw": 1},
        },
        {
            "house": HOUSE,
            "outdoor": {"monthly": [COLD_MONTHS[0]]},
            "period": {"start": "2026-06-01", "until": "2026-07-01"},
        },
    ]
)
def test_the_answer_has_the_described_shape_and_the_same_bytes_each_time(body: Body) -> None:
    first, second = ask("/greenhouse", body), ask("/greenhouse", body)
    assert first.status_code == 200, first.text
    assert first.content == second.content
    GreenhousePlan.model_validate_json(first.content)


def test_the_whole_question_is_answered_in_us_units() -> None:
    plan = GreenhousePlan.model_validate_json(ask("/greenhouse", WHOLE).content)
    assert plan.coldest_night is not None and plan.coldest_night.needed["unit"] == "BTU/h"
    assert plan.season is not None and (plan.season.start, plan.season.until) == ("2025-11-15", "2026-03-15")
    assert plan.air is not None and plan.air.hours_per_day == 12 and plan.air.electric["unit"] == "W"
    assert plan.off_grid is not None and plan.off_grid.voltage == 24
    assert [month.month for month in plan.months] == ["2025-11", "2025-12", "2026-01", "2026-02", "2026-03"]


def test_every_range_is_in_order() -> None:
    def walk(node: Any) -> None:
        if isinstance(node, dict):
            if {"value", "low", "high"} <= node.keys():
                assert node["low"] <= node["value"] <= node["high"], node
            for inner in node.values():
                walk(inner)
        elif isinstance(node, list):
            for inner in node:
                walk(inner)

    walk(answered(WHOLE))


# --- refusals


@each(
    [
        ({"house": {}}, ["/house/volume"]),
        ({"house": {"volume": -3}}, ["/house/volume"]),
        ({"house": {"volume": 60, "foot": "bare"}}, ["/house/perimeter"]),
        ({"house": {"volume": 60, "glazing": "duble_film"}}, ["/house/glazing"]),
        ({"outdoor": {}}, ["/outdoor/design"]),
        ({"outdoor": {"daily": []}}, ["/outdoor/daily"]),
        ({"outdoor": {"daily": days(2, 3, -3)}}, ["/outdoor/daily/0", "/outdoor/daily/1"]),
        ({"outdoor": {"daily": [*days(1, 0, 1), *days(1, 0, 1)]}}, ["/outdoor/daily/1/date"]),
        ({"outdoor": {"daily": days(1, 0, 1), "monthly": COLD_MONTHS}}, ["/outdoor/monthly"]),
        ({"outdoor": {"monthly": [COLD_MONTHS[0], COLD_MONTHS[2]]}}, ["/outdoor/monthly"]),
        ({"outdoor": {"monthly": [COLD_MONTHS[0], COLD_MONTHS[0]]}}, ["/outdoor/monthly/1/month"]),
        ({"outdoor": {"monthly": [{"month": 13, "low": 0, "high": 1}]}}, ["/outdoor/monthly/0/month"]),
        ({"outdoor": {"hourly": {"start": "2026-01-01", "values": [1]}}}, ["/outdoor/hourly/start"]),
        ({"period": {"start": "2026-03-01", "until": "2026-02-01"}}, ["/period/until"]),
        ({"period": {"start": "2026-03-01", "until": "2036-02-01"}}, ["/period/until"]),
        ({"pile": {}}, ["/pile"]),
        ({"pile": {"draw": 1, "status": {"pile": {"age": 3}, "temperatures": {"core": 40}}}}, ["/pile"]),
        ({"pile": {"draw": {"value": 3, "low": 4, "high": 5, "unit": "W"}}}, ["/pile/draw"]),
        ({"pile": {"draw": {"value": 3, "unit": "yd3"}}}, ["/pile/draw"]),
        ({"pile": {"draw": {"value": True, "unit": "W"}}}, ["/pile/draw"]),
        ({"pile": {"status": {"pile": {}, "temperatures": {"core": 40}}}}, ["/pile/status/pile/age"]),
        ({"draw": {"air": {"inlet": 3}}}, ["/draw/air/flow"]),
        ({"draw": {"air": {"flow": 0}}}, ["/draw/air/flow"]),
        ({"draw": {"air": {"flow": 50, "fan_power": 25}}}, ["/draw/air/fan_power"]),
        ({"draw": {"air": {"flow": 50, "outlet": "300 degC"}}}, ["/draw/air/outlet"]),
        ({"off_grid": {"sun_hours": 2}}, ["/draw"]),
        ({"off_grid": {"sun_hours": 0}}, ["/off_grid/sun_hours"]),
        ({"nonsense": 1}, ["/nonsense"]),
    ]
)
def test_what_cannot_be_is_refused_by_its_place(change: Body, where: list[str]) -> None:
    assert pointers(ask("/greenhouse", with_air(-10) | change)) == where


@each([b"", b"[]", b"{", b"null", b'{"house": NaN}', b"\xff"])
def test_bodies_that_are_no_question(body: bytes) -> None:
    reply = ask("/greenhouse", body)
    assert reply.status_code in (400, 422)
    problem_in(reply, reply.status_code)


def test_a_parameter_is_refused() -> None:
    problem_in(ask("/greenhouse?effects=none", with_air(-10)))


LEAVES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**6), 10**6),
    st.floats(-1e6, 1e6),
    st.text(max_size=8),
    st.sampled_from(["1 kW", "5 degF", "10 m3", "3 cfm", "glass", "2026-01-01", {}, [], [[]]]),
)


def _paths(node: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    inner = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    return [path, *(found for key, value in inner for found in _paths(value, (*path, key)))]


PATHS = [path for path in _paths(WHOLE) if path]


@settings(deadline=None, max_examples=50)
@given(places=st.lists(st.tuples(st.sampled_from(PATHS), LEAVES), min_size=1, max_size=3))
def test_hostile_input_is_a_problem_and_never_a_failure(places: list[tuple[tuple[Any, ...], Any]]) -> None:
    body = copy.deepcopy(WHOLE)
    for path, value in places:
        node: Any = body
        try:
            for key in path[:-1]:
                node = node[key]
            node[path[-1]] = value
        except (KeyError, IndexError, TypeError):
            continue
    reply = ask("/greenhouse", body)
    assert reply.status_code in (200, 400, 422), reply.text
    if reply.status_code == 200:
        GreenhousePlan.model_validate_json(reply.content)


def test_the_temperature_that_carries_the_draw() -> None:
    # Q = 500 x gal/min x degF (trade rule, from memory): 1,000 BTU/h at half a gallon a minute all day is 4 degF
    body = {
        "units": "us",
        "house": HOUSE,
        "outdoor": {"design": "10 degF"},
        "pile": {"draw": "1000 BTU/h"},
        "draw": {"water": {"flow": "0.5 gal/min", "inlet": "68 degF"}},
    }
    water = ask("/greenhouse", body).json()["water"]
    assert water["inlet"]["value"] == 68 and water["outlet"] is None
    assert water["outlet_for_draw"]["value"] == pytest.approx(72, abs=0.1)
    half = copy.deepcopy(body)
    half["draw"]["water"]["hours_per_day"] = 12  # type: ignore[index]
    assert ask("/greenhouse", half).json()["water"]["outlet_for_draw"]["value"] == pytest.approx(76, abs=0.1)


def test_where_the_hours_are_set_by_the_draw_it_comes_out_as_given() -> None:
    air = {"flow": "150 m3/h", "inlet": 8, "outlet": 30}
    body = {"house": HOUSE, "outdoor": {"design": -10}, "pile": {"draw": "300 W"}, "draw": {"air": air}}
    told = ask("/greenhouse", body).json()["air"]
    assert told["outlet_for_draw"]["value"] == pytest.approx(told["outlet"]["value"], abs=0.3)
    through = body | {"draw": {"air": air | {"path": "through_heap"}}}
    assert ask("/greenhouse", through).json()["air"]["outlet_for_draw"] is None
