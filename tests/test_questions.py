"""The next best question: over HTTP, and asked in a terminal."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import httpx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.tables.questions import QUESTIONS
from service.actions.decision import decided_in_full
from service.answer.advice import advise
from service.problems.shape import ProblemDetails
from service.questions.question import LEAST_CHANCE, next_question
from service.questions.shape import NextQuestion
from service.status.partial import check_partial
from service.status.reading import read_status
from tests.each import each
from tests.examples import requests
from tests.shapes import shaped
from tests.terminal import run
from tests.test_api import ask as http

SMALLEST = {"as_of": "2026-01-18T07:30:00Z", "pile": {"age": "8 weeks"}, "temperatures": {"core": "47 degC"}}
JSON = {"content-type": "application/json"}


def asked(body: Any) -> dict[str, Any]:
    reply = http("POST", "/questions", json=body)
    assert reply.status_code == 200, reply.text
    told: dict[str, Any] = reply.json()
    shaped(NextQuestion, told)
    return told


def refused(body: Any, **options: Any) -> dict[str, Any]:
    reply: httpx.Response = http("POST", "/questions", **({"json": body} | options))
    assert reply.status_code in (400, 415, 422), reply.text
    told: dict[str, Any] = reply.json()
    shaped(ProblemDetails, told)
    return told


# ------------------------------------------------------------------------------------------------- over HTTP


@each(
    [
        ({}, "/pile/age"),
        ({"pile": None, "temperatures": None}, "/pile/age"),
        ({"temperatures": {"core": "47 degC"}}, "/pile/age"),
        ({"pile": {"age": "8 weeks"}}, "/temperatures/core"),
        ({"pile": {"built_on": "2025-11-16"}, "temperatures": {"outdoor": 3}}, "/temperatures/core"),
        ({"skipped": ["/pile/age"]}, "/temperatures/core"),
    ]
)
def test_age_and_core_come_first(body: dict[str, Any], field: str) -> None:
    told = asked(body)
    assert told["field"] == field and told["enough"] is False
    assert told["question"] and told["why"] and told["first_action"] is None


def test_nothing_can_be_said_without_them() -> None:
    told = asked({"skipped": ["/pile/age", "/temperatures/core"]})
    assert told["question"] is None and told["enough"] is False
    assert "no advice can be given" in told["why"]


def test_a_question_comes_with_its_reason_and_what_each_answer_leads_to() -> None:
    told = asked(SMALLEST)
    assert told["enough"] is False and 0 < told["changes_first_action"] <= 1
    assert told["first_action"]["action"] == advise(read_status(SMALLEST))["actions"][0]["action"]
    changing = sum(each["share"] for each in told["answers"] if each["first_action"] != told["first_action"]["action"])
    assert changing / sum(each["share"] for each in told["answers"]) == pytest.approx(
        told["changes_first_action"], abs=0.006
    )


@each(requests(), every=4)
def test_the_question_is_the_one_the_advice_puts_first(request_file: Path) -> None:
    body = json.loads(request_file.read_bytes())
    told, advice = asked(body), advise(read_status(body))
    worth_asking = [item for item in advice["ask_next"] if item["changes_first_action"] >= LEAST_CHANCE]
    if told["question"] is not None:
        assert (told["field"], told["question"]) == (worth_asking[0]["field"], worth_asking[0]["question"])
        assert told["changes_first_action"] == worth_asking[0]["changes_first_action"]
        assert sum(answer["share"] for answer in told["answers"]) == pytest.approx(1.0, abs=0.01)
    elif told["first_action"]["action"] != "keep_clear_and_call_fire_service":
        assert not worth_asking


@each(requests(), every=4)
def test_putting_an_answer_in_gives_a_status_and_another_question(request_file: Path) -> None:
    body = json.loads(request_file.read_bytes())
    told = asked(body)
    for answer in told["answers"]:
        if answer["sets"] is None:
            continue
        status = json.loads(json.dumps(body))
        for pointer, value in answer["sets"].items():
            *parents, name = pointer.strip("/").split("/")
            place = status
            for parent in parents:
                place = place.setdefault(parent, {})
            place[name] = value
        check_partial(status)
        assert asked(status)["field"] != told["field"]


def test_what_an_answer_rests_on_is_counted_once_for_it_and_for_its_question() -> None:
    advise(read_status(SMALLEST))
    counted = decided_in_full.cache_info().misses
    next_question(SMALLEST)
    assert decided_in_full.cache_info().misses == counted


def test_what_is_kept_of_a_status_is_that_of_all_that_was_told() -> None:
    """Horse dung is horse manure: the heaps are one, but only who said dung is told how it was read."""
    made_of = [[{"material": name}] for name in ("horse_manure", "horse dung")]
    bodies = [SMALLEST | {"pile": {"age": 56, "ingredients": parts}} for parts in made_of]
    together = [advise(read_status(body), units="metric") for body in [*bodies, *bodies]]
    alone = []
    for body in bodies:
        decided_in_full.cache_clear()
        alone.append(advise(read_status(body), units="metric"))
    assert together == [*alone, *alone]
    assert [bool(answer["read_as"]) for answer in alone] == [False, True]


def test_skipping_goes_through_all_and_ends() -> None:
    skipped: list[str] = []
    for _ in range(len(QUESTIONS) + 1):
        told = asked({**SMALLEST, "skipped": skipped})
        if told["question"] is None:
            break
        assert told["field"] not in skipped
        skipped.append(told["field"])
    assert told["enough"] is True and told["question"] is None and told["answers"] == []
    assert told["first_action"]


def test_a_fire_needs_no_question() -> None:
    told = asked({**SMALLEST, "signs": ["smoke"]})
    assert told["enough"] is True
    assert told["first_action"]["action"] == "keep_clear_and_call_fire_service"


def test_answers_come_in_the_reader_s_units() -> None:
    skipped = [question.field for question in QUESTIONS if question.field != "/probe/length"]
    told = next_question({**SMALLEST, "units": "us", "pile": {"age": "8 weeks", "size": {"volume": "30 yd3"}}}, skipped)
    assert [answer["sets"]["/probe/length"] for answer in told["answers"]] == ["0.984 ft", "3.94 ft"]
    assert [answer["answer"] for answer in told["answers"]] == ["0.984 ft", "3.94 ft"]


def test_a_question_is_only_asked_if_it_may_matter() -> None:
    told = asked(SMALLEST)
    assert told["enough"] or told["changes_first_action"] >= LEAST_CHANCE


@each(
    [
        ({"skipped": "smell"}, "/skipped"),
        ({"skipped": [1]}, "/skipped"),
        ({"pile": {"age": -3}}, "/pile/age"),
        ({"temperatures": {"core": 131}}, "/temperatures/core"),
        ({"smel": "earthy"}, "/smel"),
        ({"pile": 7}, "/pile"),
        ({"temperatures": "warm"}, "/temperatures"),
    ]
)
def test_what_cannot_be_is_refused(body: dict[str, Any], pointer: str) -> None:
    assert refused(body)["errors"][0]["pointer"] == pointer


@each(["[]", '"x"', "3", "null"])
def test_only_an_object_is_a_status(body: str) -> None:
    assert refused(None, content=body, headers=JSON)["status"] == 422


def test_parameters_and_other_kinds_are_refused() -> None:
    assert http("POST", "/questions?x=1", json={}).status_code == 422
    assert http("POST", "/questions", content="hello", headers={"content-type": "text/plain"}).status_code == 415


def test_a_refusal_that_speaks_of_fire_says_to_keep_clear() -> None:
    assert "keep clear" in refused({"signs": ["smoke"], "pile": {"age": -3}})["detail"]


@settings(max_examples=20, deadline=None)
@given(
    st.recursive(
        st.none() | st.booleans() | st.integers(-300, 300) | st.text(max_size=8),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(
                st.sampled_from(["pile", "temperatures", "age", "core", "history", "draw", "skipped", "units", "air"]),
                inner,
                max_size=4,
            )
        ),
        max_leaves=8,
    )
)
def test_no_body_breaks_it(body: Any) -> None:
    assert http("POST", "/questions", content=json.dumps(body), headers=JSON).status_code in (200, 422)


# ---------------------------------------------------------------------------------------------- in a terminal


def terminal(lines: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    done = run("ask", *arguments, stdin=lines.encode())
    return subprocess.CompletedProcess(["ask", *arguments], done.returncode, done.stdout.decode(), done.stderr.decode())


def test_a_walk_ends_with_the_ranked_actions() -> None:
    done = terminal("ten weeks\n121\nF\nbone dry\n" + "don't know\n" * 12)
    assert done.returncode == 0, done.stderr
    said = done.stdout
    assert said.index("How old is the heap") < said.index("What does the probe read")
    assert "Read: 10 weeks old." in said and "Read: core 121 °F." in said
    assert said.index("Read: core 121 °F.") < said.index("\n1. Add water")
    # Short first: why, when to look again and where the rest is, no full reasons
    short = said[said.index("\n1. Add water") :]
    assert "Why: " in short and "Look again" in short and "--all" in short and "Because:" not in short
    whole = terminal("ten weeks\n121\nF\nbone dry\n" + "don't know\n" * 12, "--all").stdout
    assert whole.index("\n1. Add water") < whole.index("Because:") and len(whole) > len(said)


def test_more_may_be_told_than_is_asked() -> None:
    done = terminal("ten weeks old, core 52 C, damp, no smell\nstop\n")
    assert done.returncode == 0
    assert "What does the probe read in the middle" not in done.stdout


def test_what_is_not_understood_is_named_and_asked_again() -> None:
    done = terminal("quite a while\n10 weeks\n52 C\nstop\n")
    assert 'Not read: "quite a while"' in done.stdout
    assert done.stdout.count("How old is the heap") == 2
    assert done.returncode == 0


def test_the_end_of_input_without_age_and_core_is_exit_code_2() -> None:
    done = terminal("don't know\n")
    assert done.returncode == 2
    assert "no advice can be given" in " ".join(done.stderr.split())


def test_a_status_to_start_from(tmp_path: Path) -> None:
    file = tmp_path / "heap.json"
    file.write_text(json.dumps({"pile": {"age": 60}, "temperatures": {"core": 47}}))
    done = terminal("outside 28 F\nstop\n", str(file))
    assert done.returncode == 0, done.stderr
    assert "How old is the heap" not in done.stdout
    # 47 in the file is degC, whatever the talk is in: 117 degF
    assert "117 °F" in done.stdout


def test_fire_is_told_at_once() -> None:
    done = terminal("there is smoke coming out\n10 weeks\n50 C\n")
    said = done.stdout.replace("\n", " ")
    assert said.index("Keep clear of the heap and call the fire service") < said.index("What does the probe read")
    assert "1. Keep clear and call the fire service" in said


@each([(("nothing.json",), "cannot be read"), (("pyproject.toml",), "not JSON")])
def test_a_file_that_is_none(arguments: tuple[str, ...], words: str) -> None:
    done = terminal("", *arguments)
    assert done.returncode == 2 and words in done.stderr
