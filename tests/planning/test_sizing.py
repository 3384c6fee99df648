"""`POST /sizing`: the size found, what it gives beside what ratings promise, laws, shape of the answer, refusals."""

from __future__ import annotations

import copy
from functools import cache
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.tables.heap_building import TRADE_RATING_W_KG
from service.facts.record import Derived
from service.heat.physics.ledger import judge_claim
from service.heat.physics.season_draw import most_recovered
from service.planning.heap_size import fit_heap
from service.planning.layout import HeapShape, duct_layout, loop_layout, volume_within
from service.planning.order import HeapOrder, order_of
from service.planning.season_trial import (
    FEWER_SIZES,
    MEMBERS,
    SIZES,
    at_chance,
    draws_from,
    draws_of_sizes,
    given_at_chance,
    sizes_that_hold,
    undrawn,
)
from service.planning.shapes.sizing import SizingRequest
from service.planning.shapes.sizing_answer import HeapPlan
from service.planning.sizing import answer_sizing
from service.status.reading import read_model

from .asking import COLD_MONTHS, HOUSE, Body, ask, pointers, problem_in

pytestmark = pytest.mark.slow

BTU_H = 0.29307107
CHIPS = [{"material": "wood_chips", "share": 1}]
FOUR_TO_ONE = [{"material": "wood_chips", "share": 4}, {"material": "horse_manure", "share": 1}]
STEADY_FROST = {"daily": [{"date": f"2026-01-{day:02d}", "low": -3, "high": -3} for day in range(1, 32)]}
WINTER = {"period": {"start": "2025-12-01", "until": "2026-02-15"}, "outdoor": {"monthly": COLD_MONTHS}}
USUAL: Body = {"heat": {"power": "300 W"}, **WINTER}
TWO_DIGITS: float = 0.06
"""Numbers are told with the digits that their ranges allow, mostly two."""
WHOLE: Body = {
    "units": "us",
    "heat": {"share": "5 %"},
    "house": HOUSE,
    **WINTER,
    "mix": [{"material": "arborist chips", "share": 3, "moisture": "45 %"}, {"material": "horse_manure", "share": 1}],
    "cover": "clear_film",
    "wind": "sheltered",
    "keep_core_above": "95 degF",
    "chance": "60 %",
    "lead": "4 weeks",
    "largest": {"volume": "80 yd3", "diameter": "20 ft", "height": "8 ft"},
    "equipment": ["water_loop", "air_duct"],
    "loop": {"tube": "copper", "inlet": "60 degF"},
    "rating": {"power": "33000 BTU/h", "days": "6 months"},
    "barrow": "6 ft3",
}


def read(body: Body) -> SizingRequest:
    return read_model(body, SizingRequest, "A question about a heap")


def wanted(**changes: Any) -> HeapOrder:
    return order_of(read(USUAL | changes), Derived())


def size_for(question: HeapOrder, chance: float = 0.5) -> float:
    largest = question.bounds_m3[1]
    sizes = sizes_that_hold(
        question.estimate(question.mix), largest, question.bounds_m3, question.season, question.asked_w
    )
    return at_chance(sizes, chance)


def sized_for(body: Body) -> Body:
    return answer_sizing(read(body)).model_dump()


@cache
def usual() -> Body:
    return sized_for(USUAL)


# --- the size that is found


def test_the_heap_found_sustains_what_was_asked() -> None:
    plan = usual()
    assert plan["possible"] and plan["nearest"] == []
    # A size more and one more of the 64 is warm in time, so the middle one may lie well above what was asked
    assert 297 <= plan["gives"]["season_draw"]["value"] <= 400
    assert plan["gives"]["chance_of_asked"] == pytest.approx(50, abs=5)


@pytest.mark.parametrize("power", [120, 210, 300, 400])
@pytest.mark.parametrize("chance", [50, 60])
def test_the_size_found_sustains_what_was_asked_as_often_as_was_asked(power: float, chance: float) -> None:
    plan = sized_for(USUAL | {"heat": {"power": f"{power} W"}, "chance": f"{chance} %"})
    if plan["possible"]:
        assert plan["gives"]["chance_of_asked"] >= chance
        assert plan["gives"]["season_draw"]["value"] >= 0.99 * power
    else:
        assert plan["gives"]["chance_of_asked"] < chance


def draws_of(question: HeapOrder, size: float) -> Any:
    largest = question.bounds_m3[1]
    return draws_of_sizes(question.estimate(question.mix), largest, np.full((1, MEMBERS), size), question.season)[0]


def test_narrowing_in_agrees_with_a_fine_sweep_of_sizes() -> None:
    question = wanted()
    found = size_for(question)
    for size, holds in ((found * 0.93, False), (found * 1.07, True)):
        assert bool((draws_of(question, size) >= question.asked_w).mean() >= 0.5) is holds


def test_no_season_draw_is_more_than_can_be_recovered_or_than_the_burst() -> None:
    question = wanted()
    piles, state = question.heaps(question.mix, 30.0)
    warm = undrawn(piles, state, question.season, question.season.lead_days).state
    draws, days = draws_from(piles, warm, question.season), question.season.days
    assert (draws <= most_recovered(piles, warm, float(days)) / (days * 86400) * (1 + 1e-9)).all()
    gives = usual()["gives"]
    for end in ("low", "value", "high"):
        assert gives["season_draw"][end] <= gives["burst_draw"][end]


@pytest.mark.parametrize("mix", [None, CHIPS, [{"material": "grass_clippings", "share": 1}]])
@pytest.mark.parametrize("days", [28, 200])
def test_the_high_end_is_no_more_than_the_rating_that_the_answer_calls_possible(mix: Any, days: int) -> None:
    body = {"heat": {"power": "100 kW"}, "days": days, "largest": {"volume": 20}} | ({"mix": mix} if mix else {})
    high = sized_for(body)["gives"]["season_draw"]["high"]
    claimed = sized_for(body | {"rating": {"power": f"{max(high, 1.0)} W"}})["ratings"][1]
    assert claimed["verdict"] == "possible"


@pytest.mark.parametrize("volume", [8, 30])
def test_what_a_heap_sustains_does_not_follow_from_the_heat_asked_for(volume: float) -> None:
    def gives(power: str) -> Any:
        request = read({"heat": {"power": power}, "days": 28, "largest": {"volume": volume}})
        plan = fit_heap(request, Derived(), volume, compare=False)
        return plan.season_w, plan.burst_w

    assert gives("2 kW") == gives("100 kW") == gives("100 W")


def test_four_to_one_is_hot_within_the_time_reported() -> None:
    # Four to one of chips and manure reached 49 degC in 12 days (a magazine's report of 1980, read)
    plan = sized_for({"heat": {"power": "200 W"}, "days": 30, "mix": FOUR_TO_ONE})
    hot = plan["heap"]["hot_after"]
    assert hot["low"] <= 12 <= hot["high"]


def test_a_published_heap_for_scale() -> None:
    # A full-scale static pile of prunings gave 2.75 kW over a year (Malesani et al. 2021, read; its size is not known
    # here). No heap within our bounds, which are those of a garden, is told to give that for a year, let alone 10 kW.
    months = [
        (0, 7),
        (1, 9),
        (4, 14),
        (8, 18),
        (12, 23),
        (16, 27),
        (18, 30),
        (18, 29),
        (14, 24),
        (10, 18),
        (5, 12),
        (1, 8),
    ]
    table = [{"month": number, "low": low, "high": high} for number, (low, high) in enumerate(months, start=1)]
    body = {
        "heat": {"power": "2.75 kW"},
        "period": {"start": "2025-10-15", "until": "2026-10-14"},
        "outdoor": {"monthly": table},
        "mix": [{"material": "wood_chips_green", "share": 1}],
        "keep_core_above": 30,
    }
    plan = sized_for(body)
    assert not plan["possible"]
    assert 100 < plan["gives"]["season_draw"]["value"] < 2750
    assert plan["gives"]["season_draw"]["high"] < 10_000


# --- laws


@settings(deadline=None, max_examples=3)
@given(draw=st.floats(80, 500), more=st.floats(1.2, 2))
def test_more_heat_takes_a_bigger_heap(draw: float, more: float) -> None:
    less, much = (size_for(wanted(heat={"power": f"{kw} W"})) for kw in (draw, draw * more))
    assert less <= much * 1.01


@settings(deadline=None, max_examples=2)
@given(draw=st.floats(100, 500))
def test_a_surer_heap_is_no_smaller(draw: float) -> None:
    question = wanted(heat={"power": f"{draw} W"})
    sizes = sizes_that_hold(
        question.estimate(question.mix), question.bounds_m3[1], question.bounds_m3, question.season, draw
    )
    found = [at_chance(sizes, chance) for chance in (0.2, 0.4, 0.5, 0.6, 0.8)]
    assert found == sorted(found)


@pytest.mark.parametrize(
    ("smaller", "bigger"),
    [
        ({"days": 30}, {"days": 100}),
        ({"keep_core_above": 32}, {"keep_core_above": 48}),
        ({"wind": "sheltered"}, {"wind": "exposed"}),
        ({"cover": "straw"}, {"cover": "none"}),
        ({"mix": FOUR_TO_ONE}, {"mix": CHIPS, "feed": False}),
        (
            {"outdoor": {"daily": [{"date": "2026-01-01", "low": 2, "high": 2}]}},
            {"outdoor": {"daily": [{"date": "2026-01-01", "low": -12, "high": -12}]}},
        ),
    ],
    ids=["longer", "warmer core", "wind", "bare", "poorer mix", "colder"],
)
def test_what_asks_more_of_a_heap_leaves_less(smaller: Body, bigger: Body) -> None:
    base = {"heat": {"power": "200 W"}, "days": 60}
    much, less = (draws_of(order_of(read(base | change), Derived()), 20.0).mean() for change in (smaller, bigger))
    assert less < much


@settings(deadline=None, max_examples=3)
@given(volume=st.floats(8, 50), more=st.floats(1.15, 1.4))
def test_a_bigger_heap_sustains_more(volume: float, more: float) -> None:
    question = wanted()
    small, big = (draws_of(question, size).mean() for size in (volume, volume * more))
    assert small < big


def test_members_sorted_by_luck_are_read_from_the_right_end() -> None:
    values = np.array([3.0, 1.0, np.inf, 2.0])
    assert at_chance(values, 0.5) == 2.0 and at_chance(values, 1.0) == np.inf
    assert given_at_chance(np.array([3.0, 1.0, 0.0, 2.0]), 0.5) == 2.0


# --- the three numbers


def test_season_burst_and_chemical_energy_never_stand_for_each_other() -> None:
    gives = usual()["gives"]
    assert gives["season_draw"]["value"] < gives["burst_draw"]["value"]
    assert gives["season_heat"]["high"] < 0.4 * gives["chemical"]["low"]
    days = usual()["asked"]["days"]
    assert gives["season_heat"]["value"] * 1e6 == pytest.approx(
        gives["season_draw"]["value"] * days * 86_400, rel=TWO_DIGITS
    )


def test_the_rule_of_thumb_is_judged_and_refuted() -> None:
    # About 6,500 BTU/h a short ton (common practice, no source; refuted by physics)
    assert TRADE_RATING_W_KG.value[0] * 907.18 / BTU_H == pytest.approx(6_500, rel=0.01)
    plan = usual()
    rule = plan["ratings"][0]
    mass, days = plan["heap"]["mass"]["value"], plan["asked"]["days"]
    assert rule["power"]["value"] == pytest.approx(2.1 * mass, rel=TWO_DIGITS)
    told = judge_claim(mass, 0.55, rule["power"]["value"], days)
    assert rule["verdict"] == told.word.replace(" ", "_") == "impossible"
    assert rule["share_of_chemical"] == pytest.approx(100 * told.claimed_j / told.chemical_j, rel=TWO_DIGITS)
    assert rule["times_season_draw"] > 20 and "more than there is" in rule["text"]


@pytest.mark.parametrize(
    ("rating", "verdict"), [("10 W", "possible"), ("3 kW", "burst_only"), ("100 kW", "impossible")]
)
def test_a_rating_that_is_given_is_judged_beside_it(rating: str, verdict: str) -> None:
    plan = sized_for(USUAL | {"rating": {"power": rating}})
    assert [each["whose"] for each in plan["ratings"]] == ["rule of thumb", "yours"]
    assert plan["ratings"][1]["verdict"] == verdict


def test_a_rating_of_three_years_is_judged_by_what_three_years_give() -> None:
    plan = sized_for(USUAL | {"rating": {"power": "320 W", "days": "36 months"}})
    rating = plan["ratings"][1]
    assert rating["days"] == pytest.approx(1096, rel=TWO_DIGITS)
    assert "no more than this heap should sustain" not in rating["text"]


def test_no_table_of_ratings_is_in_the_answer() -> None:
    assert len(usual()["ratings"]) == 1


# --- what cannot be done


def test_where_it_cannot_be_done_the_nearest_is_told() -> None:
    plan = sized_for(USUAL | {"heat": {"power": "5 kW"}})
    assert not plan["possible"] and plan["headline"].startswith("No single heap")
    nearest = {each["change"]: each["value"]["value"] for each in plan["nearest"]}
    assert nearest["heat"] < 5000 and nearest["days"] < plan["asked"]["days"]
    assert nearest["heaps"] == -(-5000 // nearest["heat"])
    assert plan["heap"]["height"]["value"] == pytest.approx(3.0, abs=0.01)
    # The nearest can be done
    again = sized_for(USUAL | {"heat": {"power": f"{0.95 * nearest['heat']} W"}})
    assert again["possible"]


def test_bounds_are_kept() -> None:
    plan = sized_for(USUAL | {"largest": {"volume": "12 m3"}, "heat": {"power": "2 kW"}})
    assert plan["heap"]["volume_as_laid"]["value"] == pytest.approx(12)
    low = sized_for(USUAL | {"largest": {"height": "1.5 m", "diameter": "3 m"}, "heat": {"power": "2 kW"}})
    assert low["heap"]["height"]["value"] <= 1.5 and low["heap"]["diameter"]["value"] <= 3.001


def test_a_little_heat_still_takes_a_heap_worth_building() -> None:
    # A heap of chips under 8 m3 hardly holds its heat through frost (common practice, no source)
    plan = sized_for({"heat": {"power": "10 W"}, "days": 10})
    assert plan["heap"]["volume_as_laid"]["value"] >= 8


def test_a_share_of_the_house_is_its_mean_need() -> None:
    plan = sized_for(USUAL | {"heat": {"share": 4}, "house": HOUSE})
    house = ask("/greenhouse", {"house": HOUSE, "outdoor": WINTER["outdoor"], "period": WINTER["period"]}).json()
    mean = house["season"]["needed"]["value"] * 1e6 / (house["season"]["nights"] * 86_400)
    assert plan["asked"]["draw"]["value"] == pytest.approx(0.04 * mean, rel=0.01)


# --- layout and list


def test_shape_of_the_heap() -> None:
    heap = usual()["heap"]
    radius, height = heap["diameter"]["value"] / 2, heap["height"]["value"]
    assert heap["volume_as_laid"]["value"] == pytest.approx(
        2 / 3 * np.pi * radius**2 * height, rel=TWO_DIGITS
    )  # half ellipsoid
    assert heap["footprint"]["value"] == pytest.approx(np.pi * radius**2, rel=TWO_DIGITS)
    assert heap["volume_settled"]["value"] == pytest.approx(0.8 * heap["volume_as_laid"]["value"], rel=TWO_DIGITS)
    assert volume_within(None, 3.0) == pytest.approx(2 / 3 * np.pi * (3 / 0.9) ** 2 * 3, rel=1e-6)


def test_amounts_add_up_to_the_heap() -> None:
    plan = usual()
    listed = sum(part["mass"]["value"] for part in plan["build_list"]["materials"])
    added = plan["build_list"]["nitrogen"]["amount"]["value"] + plan["build_list"]["water"]["value"]
    assert listed + added == pytest.approx(plan["heap"]["mass"]["value"], rel=TWO_DIGITS)
    volume = sum(part["volume"]["value"] for part in plan["build_list"]["materials"])
    assert volume == pytest.approx(plan["heap"]["volume_as_laid"]["value"], rel=TWO_DIGITS)
    assert plan["build_list"]["barrows"] == pytest.approx(volume / 0.080, rel=TWO_DIGITS)


def test_dry_chips_are_soaked_and_fed() -> None:
    # Water to 55 % of 50-60 % (NRAES-54 ch. 2, from memory; Manitoba, read); nitrogen to 40:1 of carbon that can rot
    dry = [{"material": "wood_chips", "share": 1, "moisture": "30 %"}]
    plan = sized_for({"heat": {"power": "20 W"}, "days": 10, "mix": dry})
    heap, water = plan["heap"], plan["build_list"]["water"]
    before = heap["mass"]["value"] - water["value"] - plan["build_list"]["nitrogen"]["amount"]["value"]
    assert (0.30 * before + water["value"]) / heap["mass"]["value"] == pytest.approx(0.55, abs=0.04)
    assert heap["carbon_that_rots_to_nitrogen"] == pytest.approx(40, rel=0.02)
    assert plan["build_list"]["nitrogen"]["split"] == 2
    unfed = sized_for({"heat": {"power": "20 W"}, "days": 10, "mix": dry, "feed": False})
    assert unfed["build_list"]["nitrogen"] is None and unfed["heap"]["carbon_that_rots_to_nitrogen"] > 40


def test_a_longer_loop_for_more_heat_and_a_shorter_one_of_copper() -> None:
    shape = HeapShape(30.0)
    little, much = (loop_layout(shape, draw, 40.0, "plastic", 20.0).length_m.value for draw in (200.0, 400.0))
    assert much == pytest.approx(2 * little, rel=0.01)  # flow grows with the draw, so conductances simply double
    assert loop_layout(shape, 400.0, 40.0, "copper", 20.0).length_m.value < 0.6 * much


def test_a_loop_lies_within_the_inner_heap() -> None:
    shape = HeapShape(30.0)
    loop = loop_layout(shape, 400.0, 40.0, "plastic", 20.0)
    assert loop.from_centre_m[1] + loop.from_face_m == pytest.approx(shape.radius_m)
    assert 0.2 <= loop.spacing_m <= 0.5
    assert loop.length_m.value * loop.spacing_m**2 <= shape.buried_m3 * 1.01
    assert loop_layout(HeapShape(8.0), 20_000.0, 40.0, "plastic", 20.0).crowded


def test_a_duct_lies_halfway_out() -> None:
    shape = HeapShape(30.0)
    duct = duct_layout(shape, 400.0, 40.0)
    assert duct.from_centre_m + duct.from_face_m == pytest.approx(shape.radius_m)
    assert duct.rings * 2 * np.pi * duct.from_centre_m >= duct.length_m.value
    # 800 W while it runs: 1.2 kJ/(m3.K) x flow x 24 K, seven tenths of the way from 6 to 40 degC
    assert duct.flow_m3_s * 1257 * 0.7 * 34 == pytest.approx(800, rel=0.02)  # its air is lighter than at 10 degC


# --- shape and refusals


@pytest.mark.parametrize("body", [{"heat": {"power": 0.2}}, USUAL, WHOLE, {"heat": {"power": "900 kW"}, "days": 1}])
def test_the_answer_has_the_described_shape_and_the_same_bytes_each_time(body: Body) -> None:
    first, second = ask("/sizing", body), ask("/sizing", body)
    assert first.status_code == 200, first.text
    assert first.content == second.content
    HeapPlan.model_validate_json(first.content)


def test_the_whole_question_is_read_back() -> None:
    plan = ask("/sizing", WHOLE).json()
    assert plan["read_as"] == [{"field": "/mix/0/material", "given": "arborist chips", "read_as": "wood_chips_green"}]
    assert plan["asked"] | {"draw": None, "keep_core_above": None} == {
        "draw": None,
        "days": 77,
        "keep_core_above": None,
        "chance": 60,
        "build_on": "2025-11-03",
        "first_draw": "2025-12-01",
        "last_draw": "2026-02-15",
    }
    assert {each["field"] for each in plan["assumed"]} <= {"/house/glazing_area", "/outdoor/design"}


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"heat": {}}, ["/heat"]),
        ({"heat": {"power": 1, "share": 5}, "house": HOUSE}, ["/heat"]),
        ({"heat": {"power": "-3 kW"}}, ["/heat/power"]),
        ({"heat": {"power": "30 yd3"}}, ["/heat/power"]),
        ({"heat": {"share": 10}}, ["/house"]),
        ({"heat": {"share": 10}, "house": HOUSE, "outdoor": {"design": -10}}, ["/outdoor"]),
        ({"days": 40}, ["/days"]),
        ({"period": {"start": "2026-03-01", "until": "2026-02-01"}}, ["/period/until"]),
        ({"mix": []}, ["/mix"]),
        ({"mix": [{"material": "water", "share": 1}]}, ["/mix"]),
        ({"mix": [{"material": "wood_chips"}]}, ["/mix/0/amount"]),
        ({"mix": [{"material": "wood_chips", "share": 1}, {"material": "urea", "amount": "3 kg"}]}, ["/mix/1/amount"]),
        ({"chance": 99}, ["/chance"]),
        ({"chance": 0.8}, ["/chance"]),
        ({"keep_core_above": 90}, ["/keep_core_above"]),
        ({"loop": {"inlet": 34}, "keep_core_above": 35}, ["/loop/inlet"]),
        ({"largest": {"height": 20}}, ["/largest/height"]),
        ({"equipment": ["stove"]}, ["/equipment/0"]),
        ({"rating": {}}, ["/rating/power"]),
        ({"house": {}}, ["/house/volume"]),
    ],
)
def test_what_cannot_be_is_refused_by_its_place(change: Body, where: list[str]) -> None:
    assert pointers(ask("/sizing", USUAL | change)) == where


def test_the_whole_question_has_a_heap_with_loop_and_duct() -> None:
    plan = ask("/sizing", WHOLE).json()
    assert plan["layout"]["loop"]["tube"] == "copper" and plan["layout"]["duct"] is not None


def test_a_misspelt_material_is_read_as_the_nearest_and_said() -> None:
    plan = ask("/sizing", USUAL | {"mix": [{"material": "wod_chips", "share": 1}]}).json()
    (read_so,) = plan["read_as"]
    assert read_so["field"] == "/mix/0/material" and read_so["given"] == "wod_chips"


def test_a_period_outside_the_table_has_no_need_to_take_a_share_of() -> None:
    body = USUAL | {"heat": {"share": 5}, "house": HOUSE, "period": {"start": "2026-06-01", "until": "2026-07-01"}}
    assert pointers(ask("/sizing", body)) == ["/period"]


LEAVES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**6), 10**6),
    st.floats(-1e6, 1e6),
    st.text(max_size=8),
    st.sampled_from(["1 kW", "5 degF", "10 m3", "2 ft", "grass", "2026-01-01", {}, [], [[]], 15, 60, 90]),
)


def _paths(node: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    inner = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    return [path, *(found for key, value in inner for found in _paths(value, (*path, key)))]


PATHS = [path for path in _paths(WHOLE) if path]


@settings(deadline=None, max_examples=40)
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
    reply = ask("/sizing", body)
    assert reply.status_code in (200, 400, 422), reply.text
    if reply.status_code == 200:
        HeapPlan.model_validate_json(reply.content)
    else:
        problem_in(reply, reply.status_code)


MATERIALS_IN_A_HEAP = [
    "wood_chips",
    "sawdust",
    "straw",
    "grass_clippings",
    "poultry_manure",
    "cardboard",
    "urine",
    "wood_ash",
]


@pytest.mark.slow
@settings(deadline=None, max_examples=15)
@given(
    shares=st.lists(st.tuples(st.sampled_from(MATERIALS_IN_A_HEAP), st.floats(0.01, 10)), min_size=1, max_size=4),
    kw=st.floats(0.02, 20),
    days=st.integers(1, 100),
    limit=st.floats(15, 60),
)
def test_every_plausible_question_is_answered_in_shape(
    shares: list[tuple[str, float]], kw: float, days: int, limit: float
) -> None:
    mix = [{"material": "bark", "share": 1}, *({"material": name, "share": round(share, 3)} for name, share in shares)]
    reply = ask(
        "/sizing", {"heat": {"power": f"{kw:.3f} kW"}, "days": days, "keep_core_above": round(limit, 1), "mix": mix}
    )
    assert reply.status_code == 200, reply.text
    plan = HeapPlan.model_validate_json(reply.content)
    assert plan.gives.season_draw["low"] >= 0 and plan.heap.volume_as_laid["value"] > 0


# --- other mixes


RICH = "5 parts wood chips, 3 parts horse manure, 2 parts grass"
ALONE = "wood chips alone"


def needed(plan: Body, mix: str) -> float:
    """How much of another mix is needed, over what is needed of the one asked about; infinite where nothing will do."""
    (other,) = (other for other in plan["other_mixes"] if other["mix"] == mix)
    volume = other["volume_needed"]
    return float("inf") if volume is None else float(volume["value"]) / float(plan["heap"]["volume_as_laid"]["value"])


def test_for_a_month_a_richer_mix_needs_no_more_of_it_and_chips_alone_far_more() -> None:
    plan = sized_for(USUAL | {"period": {"start": "2025-12-01", "until": "2025-12-31"}})
    assert needed(plan, RICH) < 1.15
    assert needed(plan, ALONE) > 1.3


def test_for_a_winter_chips_alone_need_far_more_and_give_less() -> None:
    others = {other["mix"]: other for other in usual()["other_mixes"]}
    assert "3 parts wood chips, 1 part horse manure" not in others  # that is the one asked about
    assert needed(usual(), ALONE) > 1.3
    assert others[RICH]["season_draw"]["value"] > others[ALONE]["season_draw"]["value"]


@pytest.mark.unmet
def test_for_a_winter_a_richer_mix_needs_no_more_of_it() -> None:
    # What rots faster has less left on the last day, which decides: 1.31 times as much is told here. Made-up heaps of
    # 17 m3 that start alike, drawn 58 and 76 days, stand 1.07 and 0.86 times the watts of three parts to one (60 of the
    # coarse truth), or twice as many and more (40 of the plane one, most of which stand nothing): told too much here.
    assert needed(usual(), RICH) < 1.15


def test_the_mix_asked_about_is_not_among_the_others() -> None:
    body = USUAL | {"mix": [{"material": "horse_manure", "share": 2}, {"material": "wood_chips", "share": 6}]}
    names = [other["mix"] for other in sized_for(body)["other_mixes"]]
    assert names == ["wood chips alone", "5 parts wood chips, 3 parts horse manure, 2 parts grass"]


def test_fewer_sizes_find_about_the_same() -> None:
    question = wanted()
    largest = question.bounds_m3[1]
    estimate, bounds = question.estimate(question.mix), question.bounds_m3
    few, many = (
        at_chance(sizes_that_hold(estimate, largest, bounds, question.season, question.asked_w, tried=tried), 0.5)
        for tried in (FEWER_SIZES, SIZES)
    )
    assert few == pytest.approx(many, rel=0.05)


def test_what_builders_report_is_said_where_it_lies_above_what_is_told() -> None:
    # A builder's own account: 11 m3 of chips and 3 of manure gave 390 W or more for half a year; and a magazine of
    # 1980: common practice, no source. Chips alone, a year: less.
    told = sized_for({"heat": {"power": "390 W"}, "days": 365, "mix": CHIPS, "feed": False, "largest": {"volume": 14}})
    notes = [note["text"] for note in told["notes"]]
    assert told["gives"]["season_draw"]["high"] < 390.0
    assert any("Builders report more" in note and "Nobody has measured" in note for note in notes)


def test_builders_are_not_said_to_report_more_where_the_range_holds_what_they_report() -> None:
    body = {"heat": {"power": "390 W"}, "days": 7, "largest": {"volume": 14}}
    told = sized_for(body)
    assert told["gives"]["season_draw"]["high"] > 390.0
    assert not any("Builders report" in note["text"] for note in told["notes"])
