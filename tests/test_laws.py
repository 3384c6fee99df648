"""Laws of every answer, over whole statuses: what must never be advised together, and what must always be true."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from pydantic_core import to_json

from rules import FIRST_PASS
from rules.actions.conflicts import (
    BESIDE_THE_HEAP,
    CONFLICTS,
    EXCLUSIVE_WHEN_FIRE,
    KEEP_GOING_YIELDS_TO,
    NOT_FOR_NOTHING,
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
from service.picture.record import Picture
from service.status.models import Status
from service.status.reading import read_status
from tests.each import each
from tests.shapes import shaped
from tests.strategies import Body, bodies

SETTINGS = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
FRESH_ASH_DAYS = 60.0
"""Wood ash drives off ammonia until then (common practice, no source)."""


@dataclass
class Case:
    """A status with its answers, each worked out once: it is held to every law."""

    body: Body

    @cached_property
    def status(self) -> Status:
        return read_status(self.body)

    @cached_property
    def picture(self) -> Picture:
        return picture_of(self.status)

    @cached_property
    def learned(self) -> Picture:
        return learned_picture(self.status)

    @cached_property
    def none(self) -> dict[str, Any]:
        return advise(self.status, "none")

    @cached_property
    def full(self) -> dict[str, Any]:
        return advise(self.status, "full")


Law = Callable[[Case], None]
QUICK: list[Law] = []
FULL: list[Law] = []


def quick(law: Law) -> Law:
    """A law of answers without what-ifs."""
    QUICK.append(law)
    return law


def full(law: Law) -> Law:
    """A law that needs an answer with what-ifs, which costs four times as much."""
    FULL.append(law)
    return law


def hold(laws: Iterable[Law], case: Case) -> None:
    """Hold a case to laws, and name all that it breaks."""
    broken = []
    for law in laws:
        try:
            law(case)
        except Exception as error:
            broken.append(f"{law.__name__}: {type(error).__name__}: {error}")
    assert not broken, "\n".join(broken)


def moves(answer: dict[str, Any]) -> list[str]:
    return [action["action"] for action in answer["actions"]]


def avoided(answer: dict[str, Any]) -> set[str]:
    return {item["action"] for item in answer["avoid"]}


def _felt_inside(case: Case, *feels: str) -> bool:
    return case.body.get("moisture_feel") in feels and case.body.get("moisture_feel_at") in ("arm_deep", "core")


# --- conflicts
@quick
def a_soggy_heap_is_never_watered(case: Case) -> None:
    # Richard and Trautmann, Getting the Right Mix: water fills the pores that air needs
    answer = case.none
    soggy_inside = case.body.get("moisture_feel") == "soggy" and case.body.get("moisture_feel_at") in (
        "arm_deep",
        "core",
    )
    if soggy_inside or float(case.body["pile"].get("moisture", 0)) > 70:
        assert "add_water" not in moves(answer)
    if "waterlogged" in [cause["cause"] for cause in answer["likely_causes"]]:
        assert "add_water" not in moves(answer)


@quick
def nitrogen_is_never_given_where_it_would_leave_as_ammonia(case: Case) -> None:
    # Cornell, Compost Chemistry (ammonia); Emerson et al. 1975 (ash raises pH)
    answer = case.none
    ash = any(item["material"] == "wood_ash" for item in case.body["pile"].get("ingredients", []))
    if case.body.get("smell") == "ammonia" or (ash and float(case.body["pile"]["age"]) < FRESH_ASH_DAYS):
        assert "add_nitrogen" not in moves(answer)


@quick
def a_heap_near_fire_is_never_opened(case: Case) -> None:
    # Surrey Fire and Rescue: from 80 degC, or with smoke, keep clear
    answer = case.none
    facts = case.picture.derived.facts
    if facts["hottest_c"] >= 80 or facts.get("smoke") or facts.get("smell") == "burnt":
        assert moves(answer)[0] == FIRE_ACTION
        assert set(moves(answer)) <= EXCLUSIVE_WHEN_FIRE
    if facts["hottest_c"] >= 75:
        assert not any(ACTIONS[move].opens_heap for move in moves(answer))
    if facts["hottest_c"] >= 70:
        assert not {"cover_with_clear_film", "insulate"} & set(moves(answer))


@quick
def the_draw_is_never_raised_while_the_core_falls(case: Case) -> None:
    # first law of thermodynamics
    answer = case.none
    if case.picture.derived.facts.get("core_falling"):
        assert "raise_draw" not in moves(answer)


@quick
def film_on_a_wet_or_hot_heap_is_opened(case: Case) -> None:
    answer = case.none
    facts = case.picture.derived.facts
    wet_inside = case.body.get("moisture_feel") in ("wet", "soggy") and case.body.get("moisture_feel_at") in (
        "arm_deep",
        "core",
    )
    must_vent = wet_inside or 70 <= float(facts["hottest_c"]) < 80
    others = {FIRE_ACTION, "build_new_pile"} & set(moves(answer))
    if facts.get("cover") == "clear_film" and must_vent and not others:
        assert "open_vent_in_film" in moves(answer)


@quick
def no_two_moves_contradict_each_other(case: Case) -> None:
    answer = case.none
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
@quick
def an_answer_always_says_something_and_never_both(case: Case) -> None:
    answer = case.none
    assert answer["actions"]
    assert len(moves(answer)) == len(set(moves(answer)))
    assert not avoided(answer) & set(moves(answer))
    assert 0 < len(answer["say"]) <= LONGEST_SAY
    assert answer["headline"]
    for action in answer["actions"]:
        assert action["reasons"] and action["steps"]
        assert all(reason["text"] for reason in action["reasons"])


@full
def an_answer_keeps_to_its_model_and_gives_the_same_bytes(case: Case) -> None:
    again = Case(case.body)
    for first, second in ((case.none, again.none), (case.full, again.full)):
        assert to_json(first) == to_json(second)
        shaped(Advice, to_json(first))
        assert all(math.isfinite(number) for number in _numbers(first))


@full
def every_range_is_in_order(case: Case) -> None:
    for low, value, high in _ranges(case.full):
        assert low <= value <= high


@full
def with_nothing_to_learn_from_what_ifs_change_the_order_but_not_what_is_advised(case: Case) -> None:
    # The heat is counted on the same members in both.
    untold = {name: value for name, value in case.body.items() if name not in ("history", "smell")}
    case = case if untold == case.body else Case(untold)
    without, with_effects = case.none, case.full
    for part in ("phase", "assumed", "heat_balance", "tonight"):
        assert without[part] == with_effects[part]
    for part in without["energy"].keys() | with_effects["energy"].keys():
        # its last sentence goes by the plan of drawing, which `none` only sketches
        assert part == "verdict" or without["energy"][part] == with_effects["energy"][part]
    # The outlook may see a collapse that the rough look ahead of every answer does not.
    sketch, run = case.picture.derived.facts, case.learned.derived.facts
    if any(_collapses(sketch, name) != _collapses(run, name) for name in COLLAPSES):
        return
    # What must not be for nothing is left out where the run finds no gain, though the rough look ahead found one.
    if (set(moves(without)) ^ set(moves(with_effects))) & NOT_FOR_NOTHING:
        return
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


@full
def what_follows_from_what_was_told_is_the_same_with_and_without_effects(case: Case) -> None:
    pictures = (case.picture, case.learned)
    told = [
        {name: value for name, value in picture.derived.facts.items() if name not in COLLAPSES} for picture in pictures
    ]
    limits = {name: told[1].pop(name) for name in list(told[1]) if name.startswith("limited_by_")}
    assert sum(limits.values()) == pytest.approx(100.0)
    assert told[0] == told[1]
    fired = [set(infer_plainly(picture.derived.facts).fired) for picture in pictures]
    for rule in fired[0] ^ fired[1]:
        assert _hangs_on(rule) & COLLAPSES.keys(), rule.id
        assert not (isinstance(rule.gives, Act) and ACTIONS[rule.gives.action].safety), rule.id


@full
def safety_comes_first_with_and_without_effects(case: Case) -> None:
    def safe(answer: dict[str, Any]) -> list[tuple[str, str]]:
        return [(item["action"], item["urgency"]) for item in answer["actions"] if ACTIONS[item["action"]].safety]

    sketch, run = safe(case.none), safe(case.full)
    assert sketch == run
    if sketch and sketch[0][1] in ("now", "today"):
        assert moves(case.none)[0] == moves(case.full)[0]


@full
def either_unit_system_gives_the_same_advice(case: Case) -> None:
    metric, us = (advise(case.status, "none", units) for units in ("metric", "us"))
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


# --- the laws together: an answer that is there is held to all of them
@settings(SETTINGS, max_examples=25)
@given(bodies())
def test_every_law_of_an_answer_holds(body: Body) -> None:
    hold(QUICK, Case(body))


@settings(SETTINGS, max_examples=4)
@given(bodies())
def test_every_law_of_an_answer_with_what_ifs_holds(body: Body) -> None:
    hold(FULL, Case(body))


@pytest.mark.slow
@settings(SETTINGS, max_examples=300)
@given(bodies())
def test_every_law_holds_in_a_long_run(body: Body) -> None:
    hold(QUICK + FULL, Case(body))


# --- the table itself
def test_the_table_of_conflicts_names_actions_and_reasons() -> None:
    pairs = [(conflict.keeps, conflict.drops) for conflict in CONFLICTS]
    assert len(pairs) == len(set(pairs))
    for conflict in CONFLICTS:
        assert conflict.keeps in ACTIONS and conflict.drops in ACTIONS and conflict.keeps != conflict.drops
        assert conflict.why.endswith(".")
        assert (conflict.drops, conflict.keeps) not in pairs


@each(sorted(ACTIONS))
def test_whatever_opens_the_heap_is_excluded_by_a_fire(action: str) -> None:
    if ACTIONS[action].opens_heap:
        assert any(conflict.keeps == FIRE_ACTION and conflict.drops == action for conflict in CONFLICTS)
