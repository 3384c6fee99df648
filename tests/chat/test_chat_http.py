"""The chat over HTTP: text and JSON, conversations by id and by resending, limits."""

from __future__ import annotations

import json
from typing import Any

import httpx

from service.problems.shape import ProblemDetails
from service.talk.shape import ChatReply
from tests.each import each
from tests.shapes import shaped
from tests.test_api import ask

JSON = {"accept": "application/json"}
TEXT = {"content-type": "text/plain"}
FULL = "ten weeks old, core 121F was 133 last Sunday, dusty dry, no smell"


def said(message: dict[str, Any]) -> dict[str, Any]:
    reply = ask("POST", "/chat", json=message, headers=JSON)
    assert reply.status_code == 200, reply.text
    assert reply.headers["content-type"] == "application/json"
    told: dict[str, Any] = reply.json()
    ChatReply.model_validate(told)
    return told


def problem(reply: httpx.Response, status: int) -> dict[str, Any]:
    assert reply.status_code == status, reply.text
    told: dict[str, Any] = reply.json()
    shaped(ProblemDetails, told)
    return told


@each([TEXT, {"content-type": "text/plain; charset=utf-8"}, TEXT | {"accept": "*/*"}])
def test_text_in_text_out(headers: dict[str, str]) -> None:
    reply = ask("POST", "/chat", content=FULL, headers=headers)
    assert reply.status_code == 200
    assert reply.headers["content-type"] == "text/plain; charset=utf-8"
    assert reply.text.startswith("Read: 10 weeks old; core 121 °F;")
    assert "\n1. Add water" in reply.text


def test_json_where_it_is_asked_for_and_the_text_in_it() -> None:
    told = said({"text": FULL, "as_of": "2026-01-20T08:00:00-05:00"})
    assert told["text"].startswith("Read: 10 weeks old")
    assert told["actions"][0]["action"] == "add_water"
    assert told["conversation"] is None
    assert told["state"]["status"]["history"] == [{"at": "2026-01-18T08:00:00-05:00", "core": "133 degF"}]


def test_json_in_may_have_text_out() -> None:
    reply = ask("POST", "/chat", json={"text": FULL})
    assert reply.headers["content-type"].startswith("text/plain")


def test_the_same_message_at_the_same_moment_gets_the_same_reply() -> None:
    message = {"text": FULL, "as_of": "2026-01-20T08:00:00Z"}
    assert said(message) == said(message)


def test_a_conversation_goes_on_by_its_id() -> None:
    first = said({"text": "ten weeks old", "conversation": "new"})
    name = first["conversation"]
    assert len(name) >= 20
    second = said({"text": "52 C", "conversation": name})
    assert second["understood"][0]["said"] == "core 52 °C" and second["actions"]
    other = said({"text": "52 C", "conversation": "another"})
    assert other["understood"] == []


def test_a_conversation_in_text_goes_on_by_a_parameter() -> None:
    first = ask("POST", "/chat?conversation=new", content="ten weeks old, core 121F, dry", headers=TEXT)
    name = first.headers["x-conversation"]
    second = ask("POST", f"/chat?conversation={name}", content="why 1?", headers=TEXT)
    assert second.text.startswith("1. Add water") and "Because:" in second.text


def test_a_conversation_goes_on_by_sending_its_state_back() -> None:
    first = said({"text": "ten weeks old, core 121, was 133 last Sunday"})
    assert first["question"]["field"] == "/units" and first["state"]["waiting"]
    second = said({"text": "F", "state": first["state"]})
    assert second["understood"][0]["said"] == "core 121 °F"
    assert second["state"]["waiting"] == []
    third = said({"text": "don't know", "state": second["state"]})
    assert third["state"]["skipped"] == [second["question"]["field"]]
    assert said({"text": "why 1", "state": third["state"]})["text"].startswith("1. ")


def test_a_conversation_goes_on_by_sending_all_of_it_again() -> None:
    told = said({"text": "ten weeks old\ncore 121F\nwas 133F last Sunday\ndry"})
    assert [item["field"] for item in told["understood"]] == [
        "/pile/age",
        "/temperatures/core",
        "/history/-",
        "/moisture_feel",
    ]


def test_bare_numbers_of_a_state_keep_their_units() -> None:
    state = {"status": {"pile": {"age": 60}, "temperatures": {"core": 47}}}
    told = said({"text": "outside 28 F", "state": state})
    assert told["state"]["status"]["temperatures"] == {"core": "47 degC", "outdoor": "28 degF"}


def test_units_settle_degrees_without_a_scale() -> None:
    assert said({"text": "core 121", "units": "us"})["understood"][0]["value"] == "121 degF"
    reply = ask("POST", "/chat?units=metric", content="core 49", headers=TEXT)
    assert reply.text.startswith("Read: core 49 °C.")


@each(["", "   ", "\n", ".", "😀", "\u202e", "a" * 2000, "\x00", "ﬀ ½ ₂"])
def test_odd_texts_are_answered(text: str) -> None:
    assert ask("POST", "/chat", content=text.encode(), headers=TEXT).status_code == 200


@each(
    [
        ({"content": "a" * 2001, "headers": TEXT}, 422),
        ({"content": b"\xff\xfe core", "headers": TEXT}, 422),
        ({"content": "core", "headers": {"content-type": "text/plain; charset=latin-1"}}, 415),
        ({"content": "core", "headers": {"content-type": "text/html"}}, 415),
        ({"content": "core", "headers": TEXT | {"content-encoding": "gzip"}}, 415),
        ({"content": "core", "headers": TEXT | {"accept": "image/png"}}, 406),
        ({"content": "{", "headers": {"content-type": "application/json"}}, 400),
        ({"json": {}}, 422),
        ({"json": {"text": 3}}, 422),
        ({"json": {"text": "dry", "conversation": "with space"}}, 422),
        ({"json": {"text": "dry", "conversation": "a", "state": {}}}, 422),
        ({"json": {"text": "dry", "state": {"status": {"pile": {"age": -1}}}}}, 422),
        ({"json": {"text": "dry", "state": {"waiting": [{"pointer": "/x", "value": "3 ?"}]}}}, 422),
        ({"json": {"text": "dry", "state": {"waiting": [{"pointer": "/history/-", "value": "3 ?"}]}}}, 422),
        ({"json": {"text": "dry", "state": {"told_at": {"/x": "2026-01-20T08:00:00Z"}}}}, 422),
        ({"json": {"text": "dry", "as_of": "yesterday"}}, 422),
        ({"json": {"text": "dry", "message": "?"}}, 422),
    ]
)
def test_what_cannot_be_is_refused(options: dict[str, Any], status: int) -> None:
    problem(ask("POST", "/chat", **options), status)


def test_an_unknown_parameter_is_refused() -> None:
    assert "conversation" in problem(ask("POST", "/chat?conversations=a", content="dry", headers=TEXT), 422)["detail"]


def test_a_refusal_that_speaks_of_fire_says_to_keep_clear() -> None:
    told = problem(ask("POST", "/chat", json={"text": "smoke everywhere", "conversation": "?"}), 422)
    assert "keep clear of the heap" in told["detail"]


def test_a_state_that_was_tampered_with_breaks_nothing() -> None:
    state = {
        "status": {"signs": ["steam"]},
        "asked": "/nowhere",
        "skipped": ["x"] * 40,
        "advised_at": "2026-01-20T08:00:00Z",
        "waiting": [{"pointer": "/history/-", "value": {"at": "2026-01-20T08:00:00Z", "core": "5 ?"}}],
    }
    for text in ("F", "dry", "why 1", "don't know", "more", "ten weeks old, core 121F"):
        assert said({"text": text, "state": json.loads(json.dumps(state))})["text"]
