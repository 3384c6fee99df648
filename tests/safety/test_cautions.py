"""Cautions for life and limb stand unless the status shows that they cannot apply, are told once, and come first."""

from __future__ import annotations

import copy
import re
from collections import Counter
from collections.abc import Iterator
from typing import Any
from urllib.parse import urlencode

import pytest

from rules import RULES
from rules.actions.conflicts import ALLOWED_WHEN_OVERHEATING, EXCLUSIVE_WHEN_FIRE
from rules.language.model import Caution, Gravity
from rules.tables.life_tags import TAGS
from service.answer.advice import advise
from service.answer.plain_text import advice_as_text
from service.answer.words import FIRE_SENTENCE, LONGEST_SAY, life_cautions, short_text
from service.batch.answers import advices
from service.picture.picture import seen_in
from service.status.reading import read_status
from service.worth.questions import in_danger
from tests.each import each
from tests.page.as_typed import as_typed
from tests.page.reader import page_of, post
from tests.safety.statuses import Body, statuses

MANY = 120
SEED = 20260118
TOPICS = {
    "legionella": {
        "safety.open-loop-in-legionella-band",
        "safety.untold-loop-in-legionella-band",
        "safety.loop-water-unread",
        "safety.loop-untold",
        "safety.loop-and-duct-untold",
    },
    "heap gas": {
        "house.heap-air-is-no-house-air",
        "house.heap-air-may-reach-the-house",
        "house.duct-untold",
        "safety.loop-and-duct-untold",
    },
    "sealed loop": {"safety.sealed-loop-needs-relief", "safety.loop-untold", "safety.loop-and-duct-untold"},
    "short probe": {"measurement.short-probe-hides-heat"},
}
GUARDS = (
    "/equipment",
    "/draw/water/loop",
    "/draw/water/outlet",
    "/draw/air/path",
    "/draw/air/outlet_to",
    "/draw/water/tube",
    "/probe",
    "/pile/cover",
)
NEAR = re.compile(
    r"\b(dig|squeeze|arm's depth|push (it|a bar|the probe) in|fork|stand on|walk up to it and)\b", re.IGNORECASE
)


def answer_to(body: Body) -> dict[str, Any]:
    return advise(read_status(copy.deepcopy(body)), "none")


def told(answer: dict[str, Any]) -> set[str]:
    return {caution["rule"] for action in answer["actions"] for caution in action["cautions"]}


def topics(answer: dict[str, Any]) -> set[str]:
    rules = told(answer)
    return {topic for topic, behind in TOPICS.items() if behind & rules}


def without(body: Body, pointer: str) -> Body | None:
    """The body less what stands at a pointer; None where nothing does."""
    less = copy.deepcopy(body)
    *parents, name = pointer.strip("/").split("/")
    part = less
    for parent in parents:
        part = part.get(parent) or {}
    return less if part.pop(name, None) is not None else None


@pytest.fixture(scope="module", params=[MANY, pytest.param(3 * MANY, marks=pytest.mark.slow)])
def answers(request: pytest.FixtureRequest) -> list[tuple[Body, dict[str, Any]]]:
    return _with_answers(list(statuses(SEED, request.param)))


def _with_answers(bodies: list[Body]) -> list[tuple[Body, dict[str, Any]]]:
    """Each with its answer, the heat counted many at a time."""
    read = [read_status(copy.deepcopy(body)) for body in bodies]
    answered = [answer for start in range(0, len(read), 50) for answer in advices(read[start : start + 50])]
    return list(zip(bodies, answered, strict=True))


def test_taking_a_field_away_takes_no_caution_away(answers: list[tuple[Body, dict[str, Any]]]) -> None:
    taken = [
        (answer, pointer, less)
        for body, answer in answers[:40]
        for pointer in GUARDS
        if not answer["call"] and (less := without(body, pointer)) is not None
    ]
    assert len(taken) > 40
    for (answer, pointer, _), (less, other) in zip(taken, _with_answers([less for *_, less in taken]), strict=True):
        assert topics(answer) <= topics(other), (pointer, less)


def test_a_caution_for_life_stands_in_the_short_text(answers: list[tuple[Body, dict[str, Any]]]) -> None:
    for body, answer in answers:
        assert len(answer["say"]) <= LONGEST_SAY
        for caution in life_cautions(answer["actions"], soon=True):
            assert caution["brief"] in answer["say"], body
        every = life_cautions(answer["actions"])
        missing = [each["rule"] for each in every if not _stands_in(answer["say"], each)]
        assert answer["call"] or not missing, (missing, answer["say"], body)  # beside a call nothing is said of pipes


def _stands_in(said: str, caution: dict[str, Any]) -> bool:
    return caution["brief"] in said or TAGS[caution["rule"]] in said


def test_each_caution_for_life_has_a_tag_and_ten_of_them_fit_into_the_short_text() -> None:
    life = {rule.id for rule in RULES.values() if getattr(rule.gives, "gravity", None) is Gravity.LIFE}
    assert life == TAGS.keys()
    by_topic = {RULES[rule].gives.topic or rule: rule for rule in sorted(life)}  # type: ignore[union-attr]
    longest = sorted(by_topic.values(), key=lambda rule: -len(TAGS[rule]))[:10]
    cautions = [
        {"rule": rule, "gravity": "life", "soon": rule in longest[:2], "brief": RULES[rule].gives.brief}  # type: ignore[union-attr]
        for rule in longest
    ]
    first = {
        "action": "loosen_pile",
        "title": "Open and loosen the heap",
        "urgency": "today",
        "doses": [],
        "reasons": [],
    }
    told = short_text([first | {"cautions": cautions}], {"at": "2026-01-20T08:00:00+00:00"})
    assert len(told) <= LONGEST_SAY
    assert all(TAGS[rule] in told or RULES[rule].gives.brief in told for rule in longest), told  # type: ignore[union-attr]


def test_what_concerns_the_next_hour_comes_before_all_else(answers: list[tuple[Body, dict[str, Any]]]) -> None:
    for body, answer in answers:
        soon = life_cautions(answer["actions"], soon=True)
        if answer["call"]:
            assert answer["say"].startswith(FIRE_SENTENCE), body
        elif soon:
            assert answer["say"].startswith(soon[0]["brief"]), body
            assert advice_as_text(answer).startswith("Take care: " + soon[0]["text"][:40]), body


def test_each_caution_is_told_once(answers: list[tuple[Body, dict[str, Any]]]) -> None:
    for body, answer in answers:
        counted = Counter(caution["rule"] for action in answer["actions"] for caution in action["cautions"])
        assert max(counted.values(), default=0) <= 1, body
        about = [RULES[rule].gives for rule in counted]
        shared = Counter(gives.topic for gives in about if isinstance(gives, Caution) and gives.topic)
        assert max(shared.values(), default=0) <= 1, body
        texts = " ".join(_texts(answer))
        assert texts.count("Legionella") <= 1, body
        above = {rule for action in answer["actions"] for rule in action["cautions_above"]}
        assert above <= set(counted), body


def _texts(answer: dict[str, Any]) -> Iterator[str]:
    for action in answer["actions"]:
        yield from (part["text"] for part in (*action["reasons"], *action["cautions"]))
        yield from action["steps"]


def test_nothing_sends_anybody_near_a_heap_that_may_burn(answers: list[tuple[Body, dict[str, Any]]]) -> None:
    # Surrey Fire and Rescue: keep clear from 80 degC; 75 degC is on the way there
    seen = 0
    for body, answer in answers:
        if not in_danger(seen_in(read_status(copy.deepcopy(body))).derived.facts):
            continue
        seen += 1
        moves = {action["action"] for action in answer["actions"]}
        assert moves <= (EXCLUSIVE_WHEN_FIRE if answer["call"] else ALLOWED_WHEN_OVERHEATING), body
        assert {asked["field"] for asked in answer["ask_next"]} <= {"/signs", "/help_called"}, body
        texts = [*_texts(answer), *(asked["question"] for asked in answer["ask_next"]), answer["say"]]
        orders = [text for text in texts if NEAR.search(text) and not re.search(r"\b(not|never|no)\b", text, re.I)]
        assert not orders, (orders, body)
    assert seen > len(answers) / 6


def test_the_fire_answer_names_the_call_the_reading_and_the_hour() -> None:
    body = {"as_of": "2026-01-18T07:30:00+01:00", "pile": {"age": 60}, "temperatures": {"core": "180 degF"}}
    answer = answer_to({**body, "emergency_number": "999"})
    assert answer["call"] == ["999", "112", "911"] and "999 / 112 / 911" in answer["say"]
    assert "180 °F" in answer["say"] and "180 °F" in answer["headline"]
    assert "at 08:30" in answer["say"]
    assert answer_to(body)["call"] == ["112", "911"]
    metric = answer_to({**body, "units": "us", "temperatures": {"core": "82 degC"}})
    assert "82 °C" in metric["say"]


@each(
    [
        {"temperatures": {"core": 65}, "moisture_feel": "dry"},
        {"temperatures": {"core": 65.5}, "pile": {"age": 20, "moisture": 38}},
        {"temperatures": {"core": 68}, "history": [{"at": "2026-01-15T07:30:00Z", "core": 65}]},
        {"temperatures": {"core": 66}, "pile": {"age": 5}, "history": [{"at": "2026-01-16T07:30:00Z", "core": 63}]},
    ]
)
def test_a_heap_on_its_way_is_watched_and_never_told_to_climb(more: Body) -> None:
    answer = answer_to({"as_of": "2026-01-18T07:30:00Z", "pile": {"age": 20}, **more})
    assert answer["actions"][0]["action"] == "watch_heat"
    assert "climb" not in answer["say"] + answer["headline"]
    assert not {"keep_going", "wait"} & {action["action"] for action in answer["actions"]}


@each([64.9, 65.9])
def test_a_heap_below_the_limits_is_not(core: float) -> None:
    body: Body = {"as_of": "2026-01-18T07:30:00Z", "pile": {"age": 20}, "temperatures": {"core": core}}
    body |= {"moisture_feel": "dry"} if core < 65 else {"history": [{"at": "2026-01-15T07:30:00Z", "core": core - 4}]}
    assert "watch_heat" not in {action["action"] for action in answer_to(body)["actions"]}


def test_the_first_section_of_the_page_has_every_caution_for_life() -> None:
    for body in statuses(SEED + 1, 12):  # each takes two answers
        typed = as_typed({key: value for key, value in body.items() if key != "history"})
        first = page_of(post(typed)).all("section", "first")[0].text
        answer = answer_to(body)
        for caution in life_cautions(answer["actions"]):
            if RULES[caution["rule"]].gives.gravity is Gravity.LIFE and "{" not in RULES[caution["rule"]].reason:
                assert caution["text"] in first, body


def test_the_page_of_a_fire_starts_the_call() -> None:
    text = post({"temperatures.core": "85 C", "pile.age": "60 days", "emergency_number": "000"}).text
    links = re.findall(r'href="tel:([^"]+)"', text)
    assert links == ["000", "112", "911"]
    assert text.index('href="tel:') < text.index('class="lead"')
    assert urlencode({"emergency_number": "000"}) == "emergency_number=000"
