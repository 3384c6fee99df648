"""Laws of every answer, over whole statuses: what must never be advised together, and what must always be true."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from pydantic_core import to_json

from rules import FIRST_PASS
from rules.actions.conflicts import (
    BESIDE_THE_HEAP,
    CONFLICTS,
    EXCLUSIVE_WHEN_FIRE,
    KEEP_GOING_YIELDS_TO,
    WAIT_YIELDS_TO,
)
from rules.actions.records import ACTIONS
from rules.engine.inference import infer_plainly
from rules.language.conditions import leaves
from rules.language.model import Act, Finding, Rule, Urgency
from rules.tables.thresholds import COOL_SOON, FALLS_IN_A_WEEK, FALLS_IN_THREE_DAYS
from service.actions.rank import FIRE_ACTION
from service.answer.advice import advise
from service.answer.shapes.advice import Advice
from service.answer.words import LONGEST_SAY
from service.picture.picture import learned_picture, picture_of
from service.status.reading import read_status
from tests.strategies import Body, bodies

LAWFUL = settings(
    max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
FEW = settings(LAWFUL, max_examples=10)
FRESH_ASH_DAYS = 60.0
"""Wood ash drives off ammonia until then (common practice, no source)."""


def answer_to(body: Body, effects: Any = "none") -> dict[str, Any]:
    return advise(read_status(body), effects)


def moves(answer: dict[str, Any]) -> list[str]:
    return [action["action"] for action in answer["actions"]]


def avoided(answer: dict[str, Any]) -> set[str]:
    return {item["action"] for item in answer["avoid"]}


# --- conflicts
@LAWFUL
@given(bodies())
def test_a_soggy_heap_is_never_watered(body: Body) -> None:
    # Richard and Trautmann, Getting the Right Mix: water fills the pores that air needs
    answer = answer_to(body)
    soggy_inside = body.get("moisture_feel") == "soggy" and body.get("moisture_feel_at") in ("arm_deep", "core")
    if soggy_inside or float(body["pile"].get("moisture", 0)) > 70:
        assert "add_water" not in moves(answer)
    if "waterlogged" in [cause["cause"] for cause in answer["likely_causes"]]:
        assert "add_water" not in moves(answer)


@LAWFUL
@given(bodies())
def test_nitrogen_is_never_given_where_it_would_leave_as_ammonia(body: Body) -> None:
    # Cornell, Compost Chemistry (ammonia); Emerson et al. 1975 (ash raises pH)
    answer = answer_to(body)
    ash = any(item["material"] == "wood_ash" for item in body["pile"].get("ingredients", []))
    if body.get("smell") == "ammonia" or (ash and float(body["pile"]["age"]) < FRESH_ASH_DAYS):
        assert "add_nitrogen" not in moves(answer)


@LAWFUL
@given(bodies())
def test_a_heap_near_fire_is_never_opened(body: Body) -> None:
    # Surrey Fire and Rescue: from 80 degC, or with smoke, keep clear
    answer = answer_to(body)
    facts = picture_of(read_status(body)).derived.facts
    if facts["hottest_c"] >= 80 or facts.get("smoke") or facts.get("smell") == "burnt":
        assert moves(answer)[0] == FIRE_ACTION
        assert set(moves(answer)) <= EXCLUSIVE_WHEN_FIRE
    if facts["hottest_c"] >= 75:
        assert not any(ACTIONS[move].opens_heap for move in moves(answer))
    if facts["hottest_c"] >= 70:
        assert not {"cover_with_clear_film", "insulate"} & set(moves(answer))


@LAWFUL
@given(bodies())
def test_the_draw_is_never_raised_while_the_core_falls(body: Body) -> None:
    # first law of thermodynamics
    answer = answer_to(body)
    if picture_of(read_status(body)).derived.facts.get("core_falling"):
        assert "raise_draw" not in moves(answer)


@LAWFUL
@given(bodies())
def test_film_on_a_wet_or_hot_heap_is_opened(body: Body) -> None:
    answer = answer_to(body)
    facts = picture_of(read_status(body)).derived.facts
    wet_inside = body.get("moisture_feel") in ("wet", "soggy") and body.get("moisture_feel_at") in ("arm_deep", "core")
    must_vent = wet_inside or 70 <= float(facts["hottest_c"]) < 80
    others = {FIRE_ACTION, "build_new_pile"} & set(moves(answer))
    if facts.get("cover") == "clear_film" and must_vent and not others:
        assert "open_vent_in_film" in moves(answer)


@LAWFUL
@given(bodies())
def test_no_two_moves_contradict_each_other(body: Body) -> None:
    answer = answer_to(body)
    told = set(moves(answer))
    for conflict in CONFLICTS:
        assert not {conflict.keeps, conflict.drops} <= told, conflict
    pressing = [
        action
        for action in answer["actions"]
        if Urgency(action["urgency"]) in KEEP_GOING_YIELDS_TO
        and action["action"] not in {"keep_going", *BESIDE_THE_HEAP}
    ]
    assert not (pressing and "keep_going" in told)
    due = {action["action"]: list(Urgency).index(Urgency(action["urgency"])) for action in answer["actions"]}
    assert not any(due[move] <= due["wait"] for move in WAIT_YIELDS_TO & told if "wait" in told)


# --- every answer
@LAWFUL
@given(bodies())
def test_an_answer_always_says_something_and_never_both(body: Body) -> None:
    answer = answer_to(body)
    assert answer["actions"]
    assert len(moves(answer)) == len(set(moves(answer)))
    assert not avoided(answer) & set(moves(answer))
    assert 0 < len(answer["say"]) <= LONGEST_SAY
    assert answer["headline"]
    for action in answer["actions"]:
        assert action["reasons"] and action["steps"]
        assert all(reason["text"] for reason in action["reasons"])


@FEW
@given(bodies())
def test_an_answer_keeps_to_its_model_and_gives_the_same_bytes(body: Body) -> None:
    for effects in ("none", "full"):
        first, second = (to_json(answer_to(body, effects)) for _ in range(2))
        assert first == second
        Advice.model_validate_json(first)
        for number in _numbers(answer_to(body, effects)):
            assert math.isfinite(number)


@FEW
@given(bodies())
def test_every_range_is_in_order(body: Body) -> None:
    for low, value, high in _ranges(answer_to(body, "full")):
        assert low <= value <= high


@FEW
@given(bodies())
def test_with_nothing_to_learn_from_what_ifs_change_the_order_but_not_what_is_advised(body: Body) -> None:
    # The heat is counted on the same members in both.
    untold = {name: value for name, value in body.items() if name not in ("history", "smell")}
    without, with_effects = answer_to(untold, "none"), answer_to(untold, "full")
    for answer in (without, with_effects):  # its last sentence goes by the plan of drawing, which `none` only sketches
        del answer["energy"]["verdict"]
    for part in ("phase", "assumed", "heat_balance", "energy", "tonight"):
        assert without[part] == with_effects[part]
    # The outlook may see a collapse that the rough look ahead of every answer does not.
    status = read_status(untold)
    quick, full = picture_of(status).derived.facts, learned_picture(status).derived.facts
    assume(all(_collapses(quick, name) == _collapses(full, name) for name in COLLAPSES))
    assert set(moves(without)) == set(moves(with_effects))
    assert avoided(without) == avoided(with_effects)
    reasons = (
        {action["action"]: [reason["rule"] for reason in action["reasons"]] for action in answer["actions"]}
        for answer in (without, with_effects)
    )
    assert len({str(sorted(part.items())) for part in reasons}) == 1


COLLAPSES = {
    "fall_3_days_k": FALLS_IN_THREE_DAYS.value,
    "fall_7_days_k": FALLS_IN_A_WEEK.value,
    "days_until_cool": COOL_SOON.value,
}


def _collapses(facts: Mapping[str, Any], name: str) -> bool:
    if name == "days_until_cool":
        return float(facts.get(name, 99.0)) <= COLLAPSES[name]
    return float(facts[name]) >= COLLAPSES[name]


def _hangs_on(rule: Rule) -> set[str]:
    """The facts a rule reads, by itself or through findings."""
    read = {leaf.fact for leaf in leaves(rule.when)}
    behind = [other for other in FIRST_PASS if isinstance(other.gives, Finding) and other.gives.name in read]
    return read.union(*({leaf.fact for leaf in leaves(other.when)} for other in behind))


@LAWFUL
@given(bodies())
def test_what_follows_from_what_was_told_is_the_same_with_and_without_effects(body: Body) -> None:
    status = read_status(body)
    quick, full = picture_of(status), learned_picture(status)
    told = [
        {name: value for name, value in picture.derived.facts.items() if name not in COLLAPSES}
        for picture in (quick, full)
    ]
    limits = {name: told[1].pop(name) for name in list(told[1]) if name.startswith("limited_by_")}
    assert sum(limits.values()) == pytest.approx(100.0)
    assert told[0] == told[1]
    fired = [set(infer_plainly(picture.derived.facts).fired) for picture in (quick, full)]
    for rule in fired[0] ^ fired[1]:
        assert _hangs_on(rule) & COLLAPSES.keys(), rule.id
        assert not (isinstance(rule.gives, Act) and ACTIONS[rule.gives.action].safety), rule.id


@FEW
@given(bodies())
def test_safety_comes_first_with_and_without_effects(body: Body) -> None:
    def safe(answer: dict[str, Any]) -> list[tuple[str, str]]:
        return [(item["action"], item["urgency"]) for item in answer["actions"] if ACTIONS[item["action"]].safety]

    quick, full = answer_to(body, "none"), answer_to(body, "full")
    assert safe(quick) == safe(full)
    if safe(quick) and safe(quick)[0][1] in ("now", "today"):
        assert moves(quick)[0] == moves(full)[0]


@FEW
@given(bodies())
def test_either_unit_system_gives_the_same_advice(body: Body) -> None:
    status = read_status(body)
    metric, us = (advise(status, "none", units) for units in ("metric", "us"))
    assert moves(metric) == moves(us)
    assert avoided(metric) == avoided(us)


def _numbers(value: Any) -> Iterator[float]:
    if isinstance(value, dict):
        for item in value.values():
            yield from _numbers(item)
    elif isinstance(value, list):
        for item in value:
            yield from _numbers(item)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield float(value)


def _ranges(value: Any) -> Iterator[tuple[float, float, float]]:
    """Every value with its range, and every band of the outlook, moment by moment."""
    if isinstance(value, dict):
        if {"value", "low", "high"} <= value.keys():
            yield value["low"], value["value"], value["high"]
        if {"low", "median", "high"} <= value.keys():
            yield from zip(value["low"], value["median"], value["high"], strict=True)
        for item in value.values():
            yield from _ranges(item)
    elif isinstance(value, list):
        for item in value:
            yield from _ranges(item)


# --- the table itself
def test_the_table_of_conflicts_names_actions_and_reasons() -> None:
    pairs = [(conflict.keeps, conflict.drops) for conflict in CONFLICTS]
    assert len(pairs) == len(set(pairs))
    for conflict in CONFLICTS:
        assert conflict.keeps in ACTIONS and conflict.drops in ACTIONS and conflict.keeps != conflict.drops
        assert conflict.why.endswith(".")
        assert (conflict.drops, conflict.keeps) not in pairs


@pytest.mark.parametrize("action", sorted(ACTIONS))
def test_whatever_opens_the_heap_is_excluded_by_a_fire(action: str) -> None:
    if ACTIONS[action].opens_heap:
        assert any(conflict.keeps == FIRE_ACTION and conflict.drops == action for conflict in CONFLICTS)
