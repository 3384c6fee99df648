"""A log becomes one status: what counts, for how long, and what ends it. All spans are our own."""

from __future__ import annotations

import itertools
import random
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.actions.records import ACTIONS
from service.answer.advice import advise
from service.logbook.entries import ReadingEntry, WorkEntry
from service.logbook.merge import MOST_HISTORY, Merged, is_lasting, merge, thinned
from service.picture.picture import picture_of
from service.problems.problem import Problem
from service.status.lifetimes import ENDED_BY, LIFETIMES, MADE_BY, TOGETHER, lifetime_of
from service.status.models import Status
from tests.each import each

NOW = datetime(2026, 1, 18, 12, tzinfo=UTC)
START: dict[str, Any] = {"pile": {"age": "40 days"}, "temperatures": {"core": "50 degC"}}


def ago(hours: float, part: dict[str, Any]) -> ReadingEntry:
    return ReadingEntry(NOW - timedelta(hours=hours), part)


def done(hours: float, action: str, amount: str | None = None) -> WorkEntry:
    return WorkEntry(NOW - timedelta(hours=hours), action, amount)


def merged(*readings: ReadingEntry, work: tuple[WorkEntry, ...] = (), base: bool = True) -> Merged:
    first = [ago(24, START)] if base else []
    return merge([*first, *readings], work, "metric", NOW)


def state(found: Merged, field: str) -> str:
    return next(value.state for value in found.known if value.field == field)


# field, value, hours ago, state
AGES: list[tuple[str, Any, float, str]] = [
    ("/temperatures/core", "50 degC", 1, "fresh"),
    ("/temperatures/core", "50 degC", 7, "stale"),
    ("/temperatures/core", "50 degC", 13, "lapsed"),
    ("/temperatures/outdoor", "-2 degC", 2, "fresh"),
    ("/temperatures/outdoor", "-2 degC", 20, "stale"),
    ("/temperatures/outdoor", "-2 degC", 25, "lapsed"),
    ("/weather/low", "-12 degC", 11, "fresh"),
    ("/weather/low", "-12 degC", 17, "stale"),
    ("/weather/low", "-12 degC", 19, "lapsed"),
    ("/moisture_feel", "dry", 24 * 4, "fresh"),
    ("/moisture_feel", "dry", 24 * 10, "stale"),
    ("/moisture_feel", "dry", 24 * 15, "lapsed"),
    ("/smell", "earthy", 24 * 8, "lapsed"),
    ("/signs", ["steam"], 24 * 8, "lapsed"),
    ("/signs", ["smoke"], 24 * 80, "fresh"),
    ("/pile/size", {"volume": "14 m3"}, 24 * 60, "stale"),
    ("/pile/cover", "tarp", 24 * 60, "stale"),
    ("/pile/cover", "tarp", 24 * 200, "lapsed"),
    ("/pile/wind", "exposed", 24 * 2000, "fresh"),
    ("/greenhouse/volume", "68 m3", 24 * 2000, "fresh"),
    ("/draw/water/flow", "1.5 L/min", 24 * 20, "fresh"),
    ("/draw/water/outlet", "32 degC", 24 * 4, "lapsed"),
    ("/on_hand", ["urea"], 24 * 20, "stale"),
    ("/on_hand", [], 24 * 91, "lapsed"),
    ("/goal/keep_core_above", "40 degC", 24 * 400, "fresh"),
    ("/goal/until", "2026-03-31", 24 * 40, "fresh"),
    ("/goal/until", "2026-01-17", 24 * 40, "ended"),
]


def nested(field: str, value: Any) -> dict[str, Any]:
    part: Any = value
    for name in reversed(field.split("/")[1:]):
        part = {name: part}
    assert isinstance(part, dict)
    return part


@each(AGES)
def test_values_grow_stale_and_lapse(field: str, value: Any, hours: float, expected: str) -> None:
    built = ago(24 * 3000, {"pile": {"built_on": "2017-01-01"}})
    found = merge([built, ago(hours, nested(field, value)), ago(hours + 1, START)], (), "metric", NOW)
    assert state(found, field) == expected
    written: Any = found.written
    for name in field.split("/")[1:]:
        written = written.get(name) if isinstance(written, dict) else None
    assert (written is not None) == (expected in ("fresh", "stale"))


def test_every_lifetime_turns_stale_before_it_lapses_and_says_why() -> None:
    for field, lifetime in LIFETIMES.items():
        assert 0 < lifetime.fresh <= lifetime.lapses and lifetime.why, field


def test_every_field_of_a_status_has_a_lifetime() -> None:
    parts = set(Status.model_fields) - {"as_of", "units", "read_at", "history", "done", "temperatures", "weather"}
    paired = {field for group in TOGETHER for field in group}
    for name in parts:
        assert f"/{name}" in LIFETIMES or f"/{name}" in paired, name
    for part in ("temperatures", "weather"):
        model = Status.model_fields[part].annotation
        inner = next(t for t in (model, *getattr(model, "__args__", ())) if hasattr(t, "model_fields"))
        assert all(f"/{part}/{name}" in LIFETIMES for name in inner.model_fields)


def test_the_tables_name_actions_and_fields_that_exist() -> None:
    assert set(ENDED_BY) <= set(ACTIONS) and set(MADE_BY) <= set(ACTIONS)
    known = set(Status.model_fields)
    for field in [f for fields in ENDED_BY.values() for f in fields] + [f for group in TOGETHER for f in group]:
        assert field.split("/")[1] in known, field


def test_the_newest_value_counts_whatever_the_order() -> None:
    readings = [ago(hours, {"smell": smell}) for hours, smell in ((30, "sour"), (5, "earthy"), (20, "ammonia"))]
    for _ in range(6):
        random.Random(1).shuffle(readings)
        assert merged(*readings).written["smell"] == "earthy"


@settings(deadline=None, max_examples=50)
@given(st.permutations(range(6)))
def test_entries_out_of_order_make_the_same_status(order: list[int]) -> None:
    entries = [
        ago(100, {"pile": {"age": "30 days", "size": {"volume": "14 m3"}}}),
        ago(50, {"temperatures": {"core": "52 degC"}}),
        ago(30, {"temperatures": {"core": "51 degC"}, "moisture_feel": "dry"}),
        ago(3, {"temperatures": {"core": "50 degC", "outdoor": "2 degC"}}),
        ago(2, {"signs": []}),
        ago(1, {"smell": "earthy"}),
    ]
    plain = merge(entries, (), "metric", NOW)
    mixed = merge([entries[index] for index in order], (), "metric", NOW)
    assert mixed.written.keys() == plain.written.keys()
    assert mixed.status == plain.status


def test_ages_grow_and_forecasts_lose_their_past() -> None:
    days = [{"date": f"2026-01-{day}", "low": "-5 degC"} for day in (16, 17, 18, 19)]
    found = merged(ago(48, {"weather": {"forecast": days}}), ago(72, {"pile": {"age": "60 days"}}), base=True)
    assert [day["date"] for day in found.written["weather"]["forecast"]] == ["2026-01-18", "2026-01-19"]
    assert found.written["pile"]["age"] == "41.0000 days"
    assert found.status.age_days == pytest.approx(41.0)


def test_today_is_the_day_at_the_pile() -> None:
    """Half past eleven at night in London is already the next day in Auckland (UTC+13 in January)."""
    days = [{"date": f"2026-01-{day}", "low": "-5 degC"} for day in (18, 19, 20)]
    for zone, first in (("Europe/London", "2026-01-18"), ("Pacific/Auckland", "2026-01-19")):
        as_of = datetime(2026, 1, 18, 23, 30, tzinfo=UTC).astimezone(ZoneInfo(zone))
        entries = [ReadingEntry(as_of - timedelta(hours=2), {**START, "weather": {"forecast": days}})]
        found = merge(entries, (), "metric", as_of)
        assert found.written["weather"]["forecast"][0]["date"] == first


def test_age_and_building_day_go_together_and_the_newer_counts() -> None:
    found = merged(ago(30, {"pile": {"built_on": "2020-01-01"}}))
    assert "built_on" not in found.written["pile"] and state(found, "/pile/built_on") == "set_aside"


def test_a_handful_keeps_the_place_it_came_from() -> None:
    found = merged(ago(40, {"moisture_feel": "dry", "moisture_feel_at": "surface"}), ago(2, {"moisture_feel": "damp"}))
    assert found.written["moisture_feel"] == "damp" and "moisture_feel_at" not in found.written


def test_core_readings_become_history() -> None:
    cores = [ago(hours, {"temperatures": {"core": f"{40 + hours / 24:g} degC"}}) for hours in (1, 48, 96, 24 * 70)]
    found = merged(*cores)
    history = found.written["history"]
    assert [reading["core"] for reading in history] == ["44 degC", "42 degC", "50 degC"]
    assert found.written["temperatures"]["core"] == "40.0417 degC"


def test_an_old_core_is_history_and_its_range_widens() -> None:
    """A reading of three days ago is 1.5 K a day wider on either side (our own)."""
    widths = []
    for hours in (0, 24, 72, 24 * 30):
        found = merge([ago(hours, START)], (), "metric", NOW)
        core = picture_of(found.status).estimate.core_c
        assert core.value == 50.0
        widths.append(core.high - core.low)
    assert widths == pytest.approx([3.0, 6.0, 12.0, 33.0])


def test_points_stand_for_the_core_once_they_are_history() -> None:
    points = [{"value": "41 degC", "depth": "0.3 m"}, {"value": "115 degF", "depth": "0.6 m"}]
    found = merge([ago(30, {"pile": {"age": "40 days"}, "temperatures": {"points": points}})], (), "metric", NOW)
    assert [reading["core"] for reading in found.written["history"]] == ["115 degF"]


@each(
    [
        ("add_water", "/moisture_feel", "dry"),
        ("add_dry_bulking", "/smell", "rotten_egg"),
        ("loosen_pile", "/pile/size", {"volume": "14 m3"}),
        ("reduce_draw", "/draw/water/minutes_per_hour", "30 min/h"),
        ("remove_snow", "/signs", ["snow_covered"]),
        ("lift_cover", "/pile/cover", "tarp"),
    ]
)
def test_work_ends_what_it_changes(action: str, field: str, value: Any) -> None:
    before = merged(ago(10, nested(field, value)), work=(done(5, action),))
    assert state(before, field) == "ended"
    after = merged(ago(4, nested(field, value)), work=(done(5, action),))
    assert state(after, field) == "fresh"
    assert before.written["done"] == [{"at": (NOW - timedelta(hours=5)).isoformat(), "action": action}]


def test_smoke_counts_until_somebody_has_looked_again() -> None:
    smoke = ago(24 * 80, {"signs": ["smoke"]})
    found = merged(smoke, work=(done(5, "remove_snow"),))
    assert advise(found.status, "none")["actions"][0]["action"] == "keep_clear_and_call_fire_service"
    assert "signs" not in merged(smoke, ago(24 * 30, {"signs": []})).written


def test_work_alone_can_say_how_the_heap_is() -> None:
    found = merged(work=(done(5, "cover_with_clear_film"),))
    assert found.written["pile"]["cover"] == "clear_film"


def test_what_cannot_all_be_true_is_set_aside_and_named() -> None:
    """An outlet far above the core, read at another time, does not stop the advice."""
    found = merged(ago(20, {"draw": {"air": {"flow": "76 m3/h", "outlet": "70 degC"}}}), ago(1, START))
    assert state(found, "/draw/air/outlet") == "set_aside"
    assert found.written["draw"] == {"air": {"flow": "76 m3/h"}}
    why = next(value.why for value in found.known if value.field == "/draw/air/outlet")
    assert "8 K above the core" in why


def test_too_little_says_what_is_missing() -> None:
    with pytest.raises(Problem) as refused:
        merge([ago(1, {"smell": "earthy"})], (), "metric", NOW)
    assert refused.value.status == 409
    assert [error["pointer"] for error in refused.value.errors] == ["/pile/age", "/temperatures/core"]


def test_what_comes_later_is_not_known_yet() -> None:
    found = merged(ago(-5, {"smell": "sour"}), work=(done(-5, "add_water"),))
    assert "smell" not in found.written and "done" not in found.written


def test_a_clock_a_little_ahead_is_forgiven() -> None:
    assert merged(ago(-0.1, {"smell": "sour"})).written["smell"] == "sour"


def test_history_is_thinned_evenly_and_keeps_the_newest() -> None:
    readings = {NOW - timedelta(minutes=10 * n): f"{n} degC" for n in range(8640)}
    kept = thinned(readings, NOW)
    assert len(kept) == MOST_HISTORY and kept[-1] == (NOW, "0 degC")
    gaps = [later - earlier for (earlier, _), (later, _) in itertools.pairwise(kept)]
    assert max(gaps) <= timedelta(hours=7.5)


def test_advice_keeps_until_the_first_value_turns() -> None:
    found = merged(ago(1, {"temperatures": {"core": "50 degC", "outdoor": "2 degC"}}))
    assert found.keeps_until == NOW + timedelta(hours=2)


@each(
    [
        ({"temperatures": {"core": "50 degC"}}, False),
        ({"temperatures": {"core": "50 degC"}, "weather": {"low": "2 degC"}}, False),
        ({"signs": ["steam"]}, False),
        ({"signs": ["smoke"]}, True),
        ({"pile": {"cover": "tarp"}}, True),
        ({"draw": {"water": {"outlet": "30 degC"}}}, False),
        ({"draw": {"water": {"flow": "1 L/min"}}}, True),
        ({"greenhouse": {"volume": "68 m3"}}, True),
    ]
)
def test_what_counts_longer_than_the_history_is_marked(part: dict[str, Any], lasting: bool) -> None:
    assert is_lasting(part) is lasting


def test_lifetimes_are_found_by_the_longest_pointer() -> None:
    assert lifetime_of("/draw/water/outlet").lapses == 3.0
    assert lifetime_of("/draw/water/tube").lapses == 180.0
    assert lifetime_of("/pile/ingredients").lapses == float("inf")
