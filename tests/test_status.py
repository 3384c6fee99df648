"""What a status may say, how it is read into SI, and which statuses are refused with which words."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from typing import Any

import pytest

from rules.actions.records import ACTIONS
from service.problems.problem import Problem
from service.status.models import Amount, Status
from service.status.reading import read_status
from tests.each import each

AS_OF = "2026-01-18T07:30:00Z"

# The status of the interface's own description, every field given.
WHOLE: dict[str, Any] = {
    "as_of": AS_OF,
    "units": "us",
    "season": "heating",
    "goal": {"until": "2026-03-31", "keep_core_above": "104 degF", "prefer": "season"},
    "pile": {
        "age": "63 days",
        "size": {"volume": "22 yd3"},
        "ingredients": [
            {"material": "wood_chips", "amount": "18 yd3", "moisture": 45},
            {"material": "horse_manure", "amount": "4 yd3"},
        ],
        "cover": "clear_film",
        "wind": "exposed",
        "moisture": "48 %",
    },
    "temperatures": {
        "core": "121 degF",
        "outer": "95 degF",
        "outdoor": "28 degF",
        "points": [{"depth": "1 ft", "side": "north", "value": "88 degF"}],
    },
    "probe": {"length": "4 ft", "checked": True},
    "history": [{"at": "2026-01-15T07:30:00Z", "core": "126 degF"}],
    "done": [{"at": "2026-01-12T15:00:00Z", "action": "add_water", "amount": "60 gal"}],
    "moisture_feel": "dry",
    "moisture_feel_at": "arm_deep",
    "smell": "earthy",
    "signs": ["steam", "slumping"],
    "equipment": ["air_duct", "water_loop"],
    "draw": {
        "air": {
            "flow": "45 ft3/min",
            "inlet": "52 degF",
            "outlet": "83 degF",
            "minutes_per_hour": 12,
            "hours_per_day": 24,
            "path": "closed_duct",
            "inlet_from": "greenhouse",
            "outlet_to": "greenhouse",
            "since": "2025-12-20",
        },
        "water": {
            "flow": "0.4 gal/min",
            "minutes_per_hour": 0,
            "hours_per_day": "10 h/day",
            "inlet": "50 degF",
            "outlet": "90 degF",
            "tube": "plastic",
            "tube_length": "160 ft",
            "loop": "closed",
            "since": "2025-12-20T10:00:00-05:00",
        },
    },
    "greenhouse": {
        "volume": "2400 ft3",
        "glazing": "double_film",
        "glazing_area": "900 ft2",
        "night_target": "45 degF",
    },
    "weather": {
        "low": "10 degF",
        "wind_speed": "8 mile/hour",
        "sun": "overcast",
        "rain": "none",
        "forecast": [{"date": "2026-01-19", "low": "4 degF", "high": "20 degF", "snow": True, "rain": "light"}],
    },
    "on_hand": ["urea", "clear_film", "water"],
}


def smallest(**changes: Any) -> dict[str, Any]:
    return {"as_of": AS_OF, "pile": {"age": 20}, "temperatures": {"core": 45}, **changes}


def put(tree: dict[str, Any], pointer: str, value: Any) -> dict[str, Any]:
    """A copy with `value` at `pointer`; lists are made of one entry."""
    copy: dict[str, Any] = json.loads(json.dumps(tree))
    *parents, last = pointer.strip("/").split("/")
    node: Any = copy
    for name, following in zip(parents, [*parents, last][1:], strict=True):
        if isinstance(node, list):
            while len(node) <= int(name):
                node.append({})
            node = node[int(name)]
        else:
            node = node.setdefault(name, [] if following.isdigit() else {})
    if isinstance(node, list):
        node.append(value)
    else:
        node[last] = value
    return copy


def problem_of(body: Any) -> Problem:
    with pytest.raises(Problem) as refused:
        read_status(body)
    return refused.value


def test_a_whole_status_is_read_into_si() -> None:
    status = read_status(json.dumps(WHOLE).encode())
    assert status.goal is not None and status.goal.keep_core_above == pytest.approx(40.0)
    assert status.pile.size is not None and status.pile.size.volume == pytest.approx(16.8202, rel=1e-5)
    assert status.pile.ingredients is not None
    amount = status.pile.ingredients[0].amount
    assert amount is not None and amount.volume_m3 == pytest.approx(13.76199, rel=1e-5) and amount.mass_kg is None
    assert status.temperatures.core == pytest.approx(49.4444, abs=1e-3)
    assert status.temperatures.points is not None and status.temperatures.points[0].depth == pytest.approx(0.3048)
    assert status.draw is not None and status.draw.air is not None and status.draw.water is not None
    assert status.draw.air.flow == pytest.approx(45 * 1.69901082 / 3600)  # m3/s
    assert status.draw.water.flow == pytest.approx(0.4 * 3.785411784 / 60)  # kg/s
    assert status.draw.water.hours_per_day == 10.0
    assert status.draw.water.since == date(2025, 12, 20)
    assert status.greenhouse is not None and status.greenhouse.glazing_area == pytest.approx(83.6127, rel=1e-5)
    assert status.weather is not None and status.weather.wind_speed == pytest.approx(3.57632)
    assert status.as_of == datetime(2026, 1, 18, 7, 30, tzinfo=UTC)
    assert status.age_days == 63.0
    assert status.read_as == ()


def test_age_and_one_core_are_enough() -> None:
    status = read_status({"pile": {"age": 20}, "temperatures": {"core": 45}})
    assert (status.pile.age, status.temperatures.core, status.units) == (20.0, 45.0, "metric")
    assert abs((datetime.now(UTC) - status.as_of).total_seconds()) < 60  # absent as_of is now
    assert status.signs is None and status.draw is None and status.on_hand is None


def test_null_is_absent_and_an_empty_list_is_none_seen() -> None:
    bare = {"units": None, "as_of": None, "signs": None, "on_hand": None, "draw": None, "history": None, "goal": None}
    status = read_status(smallest(**bare))
    assert status.signs is None and status.on_hand is None and status.units == "metric"
    told = read_status(smallest(signs=[], on_hand=[], equipment=[], history=[], done=[]))
    assert told.signs == [] and told.on_hand == [] and told.equipment == []


@each(
    [
        {"temperatures": {"core": 45}},
        {"temperatures": {"points": [{"value": 45, "depth": 1}]}},
        {"temperatures": {"points": [{"value": 45}]}},
        {"temperatures": None, "history": [{"at": AS_OF, "core": 45}]},
    ]
)
def test_any_core_reading_will_do(readings: dict[str, Any]) -> None:
    assert read_status({"as_of": AS_OF, "pile": {"age": 20}, **readings}).pile.age == 20.0


def test_what_is_missing_is_named_all_at_once() -> None:
    problem = problem_of({"pile": {}, "temperatures": {"outer": 30}})
    assert [error["pointer"] for error in problem.errors] == ["/temperatures/core", "/pile/age"]
    assert problem_of({"temperatures": {"core": 50}}).errors[0]["pointer"] == "/pile"


def test_building_day_stands_for_the_age() -> None:
    assert read_status(smallest(pile={"built_on": "2025-11-16"})).age_days == 63.0
    assert read_status(smallest(pile={"built_on": "2026-01-18"})).age_days == 0.0
    # A date may be a day ahead of the same moment in UTC: 07:30 UTC is the evening of the 18th east of +12:00.
    early = {**smallest(pile={"built_on": "2026-01-19"}), "as_of": "2026-01-18T20:00:00Z"}
    assert read_status(early).age_days == 0.0
    assert problem_of(smallest(pile={"built_on": "2026-01-20"})).errors[0]["pointer"] == "/pile/built_on"
    assert "disagree" in problem_of(smallest(pile={"built_on": "2025-11-16", "age": 30})).detail
    assert read_status(smallest(pile={"built_on": "2025-11-16", "age": "2 months"})).age_days == pytest.approx(60.88)


@each(
    [
        ({"mass": "9 short_ton"}, "mass", 9 * 907.18474),
        ({"mass": "5 t", "volume": "10 m3"}, "volume", 10.0),
        ({"shape": "box", "length": 3, "width": "2 m", "height": 1, "mass": "2 t"}, "mass", 2000.0),
    ]
)
def test_sizes(size: dict[str, Any], field: str, value: float) -> None:
    read = read_status(smallest(pile={"age": 20, "size": size})).pile.size
    assert getattr(read, field) == pytest.approx(value)


def test_a_flat_shape_is_the_same_as_a_nested_one() -> None:
    flat = {"shape": "cone", "diameter": 3, "height": "5 ft"}
    nested = {"cone": {"diameter": 3, "height": "5 ft"}}
    sizes = [read_status(smallest(pile={"age": 20, "size": size})).pile.size for size in (flat, nested)]
    assert sizes[0] == sizes[1] and sizes[0] is not None and sizes[0].cone is not None
    assert sizes[0].cone.height == pytest.approx(1.524)


@each(
    [
        (22, "/pile/size", ["yd3", "short_ton"]),
        ("22", "/pile/size", ["yd3", "short_ton"]),
        ({}, "/pile/size", ["mass", "volume", "shape"]),
        ({"volume": "22 yd3", "cone": {"diameter": 3, "height": 1}}, "/pile/size", ["twice"]),
        ({"shape": "pyramid", "diameter": 3}, "/pile/size", ["no such shape"]),
        ({"shape": "cone", "diameter": 3}, "/pile/size/cone/height", ["needed"]),
        ({"cone": {"diameter": 3, "hight": 1}}, "/pile/size/cone/height", ["needed"]),
    ]
)
def test_sizes_that_are_refused(size: Any, pointer: str, words: list[str]) -> None:
    problem = problem_of(smallest(pile={"age": 20, "size": size}))
    assert problem.errors[0]["pointer"] == pointer
    assert all(word in problem.detail for word in words)


@each(["/pile/size/volume", "/pile/size/mass", "/pile/ingredients/0/amount"])
def test_bare_sizes_and_amounts_are_refused_under_us(field: str) -> None:
    body = put(smallest(units="us", pile={"age": 20, "ingredients": [{"material": "bark"}]}), field, 4)
    error = problem_of(body).errors[0]
    assert error["pointer"] == field and error["read"] == "4"
    assert "yd3" in error["detail"] and "short_ton" in error["detail"]


def test_a_bare_amount_under_metric_is_kilograms() -> None:
    pile = {"age": 20, "ingredients": [{"material": "straw", "amount": 300}, {"material": "hay"}]}
    read = read_status(smallest(pile=pile)).pile.ingredients
    assert read is not None and read[0].amount == Amount("mass", 300.0) and read[1].amount is None
    assert read[0].amount.mass_kg == 300.0 and read[0].amount.volume_m3 is None


def test_synonyms_are_read_and_said_back() -> None:
    pile = {"age": 20, "ingredients": [{"material": "wood_chips"}, {"material": "Wood Chips"}]}
    status = read_status(smallest(pile=pile, on_hand=["tarps", "urea"]))
    assert [(read.pointer, read.given, read.read_as) for read in status.read_as] == [
        ("/pile/ingredients/1/material", "Wood Chips", "wood_chips"),
        ("/on_hand/0", "tarps", "tarp"),
    ]


@each([("wood chps", "wood_chips"), ("zebra droppings", "manure"), ("unobtainium", "unknown_mix")])
def test_an_unknown_material_is_taken_for_the_nearest_of_its_kind(said: str, meant: str) -> None:
    read = read_status(smallest(pile={"age": 20, "ingredients": [{"material": said}]}, on_hand=[said]))
    assert read.pile.ingredients is not None and [item.material for item in read.pile.ingredients] == [meant]
    assert [(each.given, each.read_as) for each in read.read_as] == [(said, meant)] * 2


def test_a_name_that_speaks_of_fire_is_not_swallowed() -> None:
    problem = problem_of(smallest(pile={"age": 20, "ingredients": [{"material": "smouldering stuff"}]}))
    assert "keep clear" in str(problem.detail)


def test_every_action_can_be_reported_as_done() -> None:
    done = [{"at": AS_OF, "action": action} for action in ACTIONS]
    read = read_status(smallest(done=done)).done
    assert read is not None and [work.action for work in read] == list(ACTIONS)


# field, value, value as read, allowed; metric
IMPOSSIBLE = [
    ("/pile/moisture", 130, "130 %", "0 to 100 %"),
    ("/pile/moisture", "-1 %", "-1 %", "0 to 100 %"),
    ("/pile/size/mass", 0, "0 kg", "1 to 5000000 kg"),
    ("/pile/size/mass", "-4 t", "-4 t", "0.001 to 5000 t"),
    ("/pile/size/volume", 0, "0 m3", "0.001 to 20000 m3"),
    ("/pile/size/cone/diameter", 0, "0 m", "0.05 to 500 m"),
    ("/pile/age", -4, "-4 days", "0 to 18262.5 days"),
    ("/pile/ingredients/0/amount", 0, "0 kg", "0.001 to 5000000 kg"),
    ("/temperatures/core", 131, "131 degC", "-40 to 95 degC"),
    ("/temperatures/core", "131", "131 degC", "-40 to 95 degC"),
    ("/temperatures/core", -41, "-41 degC", "-40 to 95 degC"),
    ("/temperatures/core", "401 degC", "401 degC", "-40 to 400 degC"),
    ("/temperatures/core", "900 degF", "900 degF", "-40 to 752 degF"),
    ("/temperatures/outer", 96, "96 degC", "-40 to 95 degC"),
    ("/temperatures/points/0/value", 120, "120 degC", "-40 to 95 degC"),
    ("/temperatures/outdoor", 75, "75 degC", "-70 to 60 degC"),
    ("/draw/air/minutes_per_hour", 61, "61 min/h", "0 to 60 min/h"),
    ("/draw/water/minutes_per_hour", -1, "-1 min/h", "0 to 60 min/h"),
    ("/draw/air/hours_per_day", 25, "25 h/day", "0 to 24 h/day"),
    ("/draw/water/flow", -0.1, "-0.1 L/min", "0 to 900 L/min"),
    ("/draw/air/flow", "1e6 cfm", "1000000 ft3/min", "0 to 31783.2 ft3/min"),
    ("/greenhouse/volume", 0, "0 m3", "0.1 to 200000 m3"),
    ("/weather/wind_speed", 100, "100 m/s", "0 to 75 m/s"),
    ("/weather/wind_speed", "-1 mph", "-1 mile/hour", "0 to 167.77 mile/hour"),
    ("/probe/length", 0, "0 m", "0.02 to 10 m"),
]


@each(IMPOSSIBLE)
def test_a_value_that_cannot_be_is_refused_with_what_was_read(field: str, value: Any, read: str, allowed: str) -> None:
    base = smallest(pile={"age": 20, "ingredients": [{"material": "bark"}]})
    problem = problem_of(put(base, field, value))
    error = next(error for error in problem.errors if error["pointer"] == field)
    assert (error["read"], error["allowed"]) == (read, allowed)
    assert problem.status == 422 and field in problem.detail


@each(
    [
        ("metric", 95, 95.0),
        ("metric", 95.1, None),
        ("metric", "95.1 degC", 95.1),
        ("metric", "204 degF", 95.5556),
        ("metric", "400 degC", 400.0),
        ("metric", "1000 K", None),
        ("us", 203, 95.0),
        ("us", 204, None),
        ("us", "204 degF", 95.5556),
        ("us", "96 C", 96.0),
        ("us", "752 F", 400.0),
    ],
    ["/temperatures/core", "/temperatures/points/0/value", "/history/0/core"],
)
def test_a_hot_core_is_taken_with_its_unit_and_refused_bare(
    units: str, value: Any, taken: float | None, field: str
) -> None:
    base = {"as_of": AS_OF, "units": units, "pile": {"age": 20}, "history": [{"at": AS_OF}] if "his" in field else None}
    body = put(base, field, value)
    if taken is None:
        problem = problem_of(body)
        assert problem.errors[0]["pointer"] == field
        assert "keep clear" in problem.detail and "fire service" in problem.detail
        return
    status = read_status(body)
    readings = [status.temperatures.core, *(point.value for point in status.temperatures.points or [])]
    readings += [reading.core for reading in status.history or []]
    assert max(value for value in readings if value is not None) == pytest.approx(taken, abs=1e-3)


def test_fahrenheit_read_as_celsius_is_named() -> None:
    error = problem_of(smallest(temperatures={"core": 131})).errors[0]
    assert "Did you mean degF" in error["detail"] and "55 degC" in error["detail"] and '"131 degC"' in error["detail"]
    error = problem_of(smallest(temperatures={"core": 45, "outdoor": 75})).errors[0]
    assert "Did you mean degF" in error["detail"] and "23.9 degC" in error["detail"]
    error = problem_of(smallest(units="us", temperatures={"core": 250})).errors[0]
    assert "Did you mean" not in error["detail"] and '"250 degF"' in error["detail"]


def test_a_share_written_for_a_percentage_is_named() -> None:
    assert "did you mean 50 %" in problem_of(smallest(pile={"age": 20, "moisture": 0.5})).detail
    assert read_status(smallest(pile={"age": 20, "moisture": "0.5 %"})).pile.moisture == 0.5


@each([(53.0, True), (53.1, False), ("127.4 degF", True), ("128 degF", False)], ["air", "water"])
def test_nothing_comes_out_more_than_8_k_above_the_core(outlet: Any, ok: bool, kind: str) -> None:
    body = smallest(draw={kind: {"outlet": outlet}})
    if ok:
        assert read_status(body).draw is not None
    else:
        error = problem_of(body).errors[0]
        assert (error["pointer"], error["allowed"]) == (f"/draw/{kind}/outlet", "at most 53 degC")


def test_a_hotter_point_counts_as_the_core() -> None:
    hot = {"core": 45, "points": [{"value": 60}]}
    assert read_status(smallest(temperatures=hot, draw={"water": {"outlet": 67}})).draw is not None


@each(
    [
        ({"history": [{"at": "2026-01-18T07:41:00Z", "core": 50}]}, "/history/0/at"),
        ({"done": [{"at": "2026-01-19T07:30:00Z", "action": "add_water"}]}, "/done/0/at"),
        ({"draw": {"air": {"since": "2026-01-20"}}}, "/draw/air/since"),
        ({"goal": {"until": "2026-01-16"}}, "/goal/until"),
        ({"weather": {"forecast": [{"date": "2026-01-19", "low": 5, "high": 1}]}}, "/weather/forecast/0"),
        ({"as_of": "2026-01-18T07:30:00"}, "/as_of"),
        ({"as_of": "2026-01-18"}, "/as_of"),
        ({"as_of": "yesterday"}, "/as_of"),
        ({"as_of": 1768721400}, "/as_of"),
        ({"as_of": "2026-02-30T07:30:00Z"}, "/as_of"),
        ({"as_of": "0001-01-01T00:00:00+14:00"}, "/as_of"),
        ({"as_of": "9999-12-31T23:59:59-14:00"}, "/as_of"),
        ({"goal": {"until": "31.03.2026"}}, "/goal/until"),
        ({"goal": {"until": "2026-02-30"}}, "/goal/until"),
    ]
)
def test_times_that_cannot_be(change: dict[str, Any], pointer: str) -> None:
    assert problem_of(smallest(**change)).errors[0]["pointer"] == pointer


def test_times_that_can_be() -> None:
    skew = [{"at": "2026-01-18T07:40:00Z", "core": 50}, {"at": "2026-01-18t09:30:00.25+02:00", "core": 50}]
    assert read_status(smallest(history=skew)).history is not None
    assert read_status(smallest(as_of="1999-01-01T00:00:00Z")).as_of.year == 1999
    assert read_status(smallest(as_of="2026-01-18T07:30Z")).as_of.minute == 30
    assert read_status(smallest(goal={"until": "2026-01-18"})).goal is not None


@each(
    [
        (smallest(temperature={"core": 50}), "/temperature", "temperatures"),
        (smallest(pile={"age": 20, "sice": {}}), "/pile/sice", "size"),
        (smallest(draw={"water": {"flow": 1, "outlt": 30}}), "/draw/water/outlt", "outlet"),
        (
            smallest(temperatures={"core": 50, "points": [{"value": 3, "dept": 1}]}),
            "/temperatures/points/0/dept",
            "depth",
        ),
        (smallest(weather={"forecast": [{"date": "2026-01-19", "hi": 1}]}), "/weather/forecast/0/hi", "high"),
        (smallest(moisture="dry"), "/moisture", "moisture_feel"),
        (smallest(nothing_like_it=None), "/nothing_like_it", ""),
    ]
)
def test_an_unknown_field_is_refused_with_the_nearest(body: dict[str, Any], pointer: str, hint: str) -> None:
    error = problem_of(body).errors[0]
    assert error["pointer"] == pointer and "no such field" in error["detail"]
    assert (f'"{hint}"' in error["detail"]) or not hint


@each(
    [
        ("/moisture_feel", "dri", "dry"),
        ("/smell", "rotten eggg", "rotten_egg"),
        ("/smell", "erthy", "earthy"),
        ("/pile/cover", "clear film", "clear_film"),
        ("/signs/0", "smok", "smoke"),
        ("/greenhouse/glazing", "double-film", "double_film"),
        ("/done/0/action", "add-water", "add_water"),
        ("/units", "imperial", ""),
    ]
)
def test_an_unknown_word_is_refused_with_the_nearest(field: str, value: str, nearest: str) -> None:
    base = smallest(done=[{"at": AS_OF, "action": "wait"}]) if "done" in field else smallest()
    body = put(base, field, value)
    error = next(error for error in problem_of(body).errors if error["pointer"] == field)
    assert error["read"] == value
    assert (f'Did you mean "{nearest}"?' in error["detail"]) or not nearest


def every_field(tree: Any, path: str = "") -> list[str]:
    """Pointers of every object, list and scalar in the whole status."""
    if isinstance(tree, dict):
        return [f"{path}/{key}" for key in tree] + [p for key in tree for p in every_field(tree[key], f"{path}/{key}")]
    if isinstance(tree, list):
        return [f"{path}/0", *every_field(tree[0], f"{path}/0")]
    return []


WRONG: tuple[Any, ...] = (True, False, [[]], {"a": 1}, "no such thing", "", -1e14, 1e14, [None])
# Texts without fixed words, and flags, take some of the above.
TAKES = {
    ("/probe/checked", bool),
    ("/weather/forecast/0/snow", bool),
    ("/temperatures/points/0/side", str),
    ("/pile/ingredients/0/material", str),
    ("/on_hand/0", str),
}


@each(every_field(WHOLE), WRONG)
def test_wrong_types_and_absurd_values_are_refused_everywhere(field: str, wrong: Any) -> None:
    if (field, type(wrong)) in TAKES and (wrong != "" or "side" in field):
        return
    body = json.loads(json.dumps(WHOLE))
    node = body
    *parents, last = field.strip("/").split("/")
    for name in parents:
        node = node[int(name)] if isinstance(node, list) else node[name]
    node[int(last) if isinstance(node, list) else last] = wrong
    problem = problem_of(body)
    assert problem.status == 422
    assert any(error["pointer"].startswith(field) for error in problem.errors)


@each(every_field(WHOLE))
def test_null_anywhere_is_absent_or_named(field: str) -> None:
    if field == "/as_of":
        return  # then it is now, long after the goal's last day
    body = json.loads(json.dumps(WHOLE))
    node = body
    *parents, last = field.strip("/").split("/")
    for name in parents:
        node = node[int(name)] if isinstance(node, list) else node[name]
    node[int(last) if isinstance(node, list) else last] = None
    try:
        read_status(body)
    except Problem as problem:
        assert problem.errors[0]["pointer"].startswith(field) or "temperatures" in field or field.startswith("/pile")


@each(
    [
        ("/history", 200),
        ("/done", 100),
        ("/signs", 40),
        ("/on_hand", 80),
        ("/equipment", 10),
        ("/pile/ingredients", 40),
    ]
)
def test_lists_have_a_longest_length(field: str, most: int) -> None:
    entry = {
        "/history": {"at": AS_OF, "core": 50},
        "/done": {"at": AS_OF, "action": "wait"},
        "/signs": "steam",
        "/on_hand": "urea",
        "/equipment": "air_duct",
        "/pile/ingredients": {"material": "bark"},
    }[field]
    assert read_status(put(smallest(), field, [entry] * most))
    error = problem_of(put(smallest(), field, [entry] * (most + 1))).errors[0]
    assert (error["pointer"], error["allowed"]) == (field, f"at most {most} entries")


def test_a_status_is_never_changed_once_read() -> None:
    status = read_status(smallest())
    with pytest.raises(ValueError, match="frozen"):
        status.smell = "burnt"  # type: ignore[misc]
    assert status.model_copy(update={"smell": "burnt"}).smell == "burnt"


def test_models_read_bare_numbers_in_the_units_of_their_own_body() -> None:
    """The two systems side by side, nothing left over from the one read before."""
    us = {"as_of": AS_OF, "units": "us", "pile": {"age": 20}, "temperatures": {"core": 113}}
    for _ in range(2):
        assert Status.model_validate(us).temperatures.core == pytest.approx(45.0)
        assert Status.model_validate(smallest()).temperatures.core == 45.0
