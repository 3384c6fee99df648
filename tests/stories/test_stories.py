"""Stories of a heap's year through chat, form and terminal: all three begin with what a careful grower would do."""

from __future__ import annotations

import json
import tomllib
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from service.answer.advice import advise
from service.answer.plain_text import brief_as_text
from service.page.body import filled_from
from service.page.form import FIELDS
from service.status.reading import read_status
from service.talk.chat.draft import Draft
from service.talk.chat.hearing import hear
from service.talk.chat.talk import turn
from tests.each import now_and_then

NOW = datetime(2026, 1, 20, 8, tzinfo=UTC)
STORIES: list[dict[str, Any]] = tomllib.loads(Path(__file__).with_name("stories.toml").read_text(encoding="utf-8"))[
    "story"
]
NAMES = [story["told"][:50] for story in STORIES]
EVERY = pytest.mark.parametrize("story", STORIES, ids=NAMES)
NOT_TYPED = {"units", "as_of", "read_at"}


def told_status(story: dict[str, Any]) -> dict[str, Any]:
    draft = Draft()
    heard = hear(story["told"], draft, NOW)
    assert not heard.unread
    return draft.as_of(NOW)


def typed(status: dict[str, Any]) -> dict[str, tuple[str, ...]]:
    """What a person would put into the form to say the same, as far as it has a field for it."""
    values: dict[str, tuple[str, ...]] = {}
    waiting: list[tuple[str, Any]] = [(name, value) for name, value in status.items() if name not in NOT_TYPED]
    while waiting:
        name, value = waiting.pop()
        if name in FIELDS:
            items = value if isinstance(value, list) else [value]
            values[name] = tuple(str(item) for item in items) or ("none",)
        elif isinstance(value, dict):
            waiting += [(f"{name}.{key}", item) for key, item in value.items()]
        elif isinstance(value, list):
            waiting += [(f"{name}.{place}", item) for place, item in enumerate(value)]
    for place, entry in enumerate([*status.get("history", []), *status.get("done", [])]):
        kind = "history" if "core" in entry else "done"
        row = place if kind == "history" else place - len(status.get("history", []))
        hours = (NOW - datetime.fromisoformat(entry["at"])).total_seconds() / 3600
        values[f"{kind}.{row}.ago"] = (f"{hours:g} hours",)
    values["units"] = (status.get("units", "metric"),)
    values["as_of"] = (NOW.isoformat(),)
    return values


def test_there_are_enough_of_them() -> None:
    assert len(STORIES) >= 44
    assert all(story["source"] for story in STORIES)


@pytest.mark.parametrize("story", now_and_then(STORIES, 5), ids=NAMES)
def test_the_chat_begins_with_it(story: dict[str, Any]) -> None:
    reply = turn(Draft(), story["told"], NOW)
    assert not reply.unread
    assert reply.actions[0]["action"] in story["first"]


@EVERY
def test_the_terminal_says_it_shortly(story: dict[str, Any]) -> None:
    answer = advise(read_status(told_status(story)), effects="none")
    assert answer["actions"][0]["action"] in story["first"]
    text = brief_as_text(answer)
    assert len(text.split()) <= 120
    assert answer["actions"][0]["title"] in text
    assert story.get("says", "") in json.dumps(answer)


@pytest.mark.parametrize("story", now_and_then(STORIES, 3), ids=NAMES)
def test_the_form_begins_with_it(story: dict[str, Any]) -> None:
    filled = filled_from(typed(told_status(story)))
    assert not filled.faults
    answer = advise(read_status(filled.body), effects="none")
    assert answer["actions"][0]["action"] in story["first"]
