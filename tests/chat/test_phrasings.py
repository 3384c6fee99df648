"""What people write, and what is read of it (phrasings.toml, told.toml, typed.toml); nothing may be misread."""

from __future__ import annotations

import json
import re
import tomllib
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.talk.chat.draft import Draft
from service.talk.chat.hearing import Heard, hear
from service.talk.shape import ChatState
from tests.each import each, now_and_then

NOW = datetime(2026, 1, 20, 8, tzinfo=UTC)  # a Tuesday


def _table(name: str) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = tomllib.loads(Path(__file__).with_name(name).read_text(encoding="utf-8"))["phrasing"]
    return rows


CASES = _table("phrasings.toml")
TOLD = _table("told.toml")
TYPED = _table("typed.toml")


def heard_from(case: dict[str, Any]) -> tuple[Draft, Heard]:
    draft = Draft(asked=case.get("asked"), status=json.loads(case.get("known", "{}")))
    return draft, hear(case["text"], draft, NOW)


@each(CASES, every=3)
def test_nothing_is_misread(case: dict[str, Any]) -> None:
    _is_read_as_meant(case)


@each(TOLD, every=4)
def test_nothing_of_what_was_told_elsewhere_is_misread(case: dict[str, Any]) -> None:
    _is_read_as_meant(case)


@each(TYPED, every=8)
def test_nothing_of_what_is_typed_in_a_hurry_is_misread(case: dict[str, Any]) -> None:
    _is_read_as_meant(case)


def _is_read_as_meant(case: dict[str, Any]) -> None:
    draft, heard = heard_from(case)
    told = {name: value for name, value in draft.status.items() if name != "units"}
    assert told == json.loads(case["status"])
    assert [reading.value for reading in draft.waiting] == case.get("waiting", [])
    assert [item.text for item in heard.unread] == case.get("unread", [])
    assert heard.untold == case.get("untold", [])
    assert all(item.why for item in heard.unread)
    draft.status.pop("goal", None)  # its day is judged by the clock
    state = ChatState.model_validate(draft.as_state())  # what is handed out can be sent back
    assert [item.pointer for item in state.waiting] == [item.pointer for item in draft.waiting]


def test_there_are_enough_phrasings() -> None:
    texts = {case["text"] for case in CASES}
    read = [case for case in CASES if json.loads(case["status"])]
    assert len(texts) >= 400
    assert len(read) >= 250


def readings_in(status: dict[str, Any]) -> set[tuple[str, str]]:
    """Every value of a status that holds a number, with its place."""
    found: set[tuple[str, str]] = set()
    waiting: list[tuple[str, Any]] = [("", {key: value for key, value in status.items() if key != "units"})]
    while waiting:
        place, value = waiting.pop()
        if isinstance(value, dict):
            waiting += [(f"{place}/{key}", item) for key, item in value.items()]
        elif isinstance(value, list):
            found |= {(place, json.dumps(item)) for item in value}
        else:
            found.add((place, json.dumps(value)))
    return {(place, value) for place, value in found if re.search("[0-9]", value)}


def readings_of(phrase: str) -> set[tuple[str, str]]:
    """What a phrase says by itself, in either scale of temperatures."""
    found: set[tuple[str, str]] = set()
    for units in ("us", "metric"):
        draft = Draft(status={"units": units})
        hear(phrase, draft, NOW)
        found |= readings_in(draft.status)
    return found


SNIPPETS = sorted({case["text"] for case in CASES if not case.get("asked")})
JOINTS = (", ", " and ", " but ", " ", ". ", "; ", " or ", ", actually ", ", not ", " / ", "\n")


@pytest.mark.slow
@settings(max_examples=80, deadline=None, derandomize=True)
@given(st.data())
def test_what_is_said_beside_a_number_never_gives_it_another_meaning(data: st.DataObject) -> None:
    """Of phrases put together, nothing is read with a number that none of them says by itself.

    Four things may rightly follow only from both: two phrases about ingredients make one list, the minutes of one
    phrase belong to the fan of the other, work whose amount is left unread is still work, and a bare temperature is
    the middle's where another phrase tells of the heap ("9 weeks, 55 C"); how a fan or a pump runs is no such phrase.
    """
    picked = data.draw(st.lists(st.sampled_from(SNIPPETS), min_size=2, max_size=3))
    text = picked[0] + "".join(data.draw(st.sampled_from(JOINTS)) + phrase for phrase in picked[1:])
    draft = Draft()
    hear(text, draft, NOW)
    said = set().union(*(readings_of(phrase) for phrase in picked))
    joined = re.compile("/pile/ingredients|/draw/.*_per_.*|/done")
    read = {(place, value) for place, value in readings_in(draft.status) if not joined.fullmatch(place)}
    if any(_tells_of_the_heap(phrase) for phrase in picked):
        read -= {(place, value) for place, value in read if place == "/temperatures/core" and _is_bare(value, picked)}
    assert read <= said, text


def _tells_of_the_heap(phrase: str) -> bool:
    draft = Draft()
    heard = hear(phrase, draft, NOW)
    return any(not item.pointer.startswith(("/draw/", "/equipment")) for item in heard.understood)


def _is_bare(value: str, picked: list[str]) -> bool:
    """Whether a core is the bare temperature of one of the phrases."""
    number = json.loads(value).partition(" ")[0]
    return any(
        re.match(rf"(?:now )?{re.escape(number)} ?°?[cf]?(?: now)?$", phrase, re.IGNORECASE) for phrase in picked
    )


@settings(max_examples=80, deadline=None)
@given(st.text(max_size=120))
def test_no_text_breaks_it(text: str) -> None:
    hear(text, Draft(), NOW)


TOO_LONG = ["core 121F and dry ", "dry, ", "1 yd3 chips, ", "and ", "1", "-", "core 121F. "]


@pytest.mark.parametrize("text", now_and_then(TOO_LONG, 3))
def test_of_a_message_that_is_too_long_the_rest_is_named_not_read(text: str) -> None:
    draft = Draft()
    heard = hear((text * 2000)[:2000], draft, NOW)
    assert draft.status.get("temperatures") in (None, {"core": "121 degF"})
    assert heard.unread


@each([datetime(2026, 1, day, 18, tzinfo=UTC) for day in range(11, 25)])
def test_a_weekday_beside_yesterday_is_dated_by_its_name_or_asked_for(now: datetime) -> None:
    """Whatever day it is: Monday's reading is of a Monday, and yesterday's is never moved."""
    for text in ("core 126F on Monday, 124F yesterday", "121F now, core 126F on Monday, 124F yesterday, 121F today"):
        draft = Draft()
        hear(text, draft, now)
        for reading in draft.status.get("history", []):
            at = datetime.fromisoformat(reading["at"])
            monday = reading["core"] == "126 degF"
            assert at.weekday() == 0 if monday else at.date() == (now - timedelta(days=1)).date()
