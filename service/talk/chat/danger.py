"""What the chat says and asks where a heap may burn: the call, the reading, when to look again, and nothing near it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from typing import Any, Final

from rules.actions.records import ACTIONS, AN_HOUR
from rules.catalogue import said
from rules.language.model import Urgency
from rules.tables.alarm_words import is_answer
from rules.tables.questions import IN_DANGER, Question
from service.actions.rank import FIRE_ACTION
from service.answer.words import emergency_call, hour_of
from service.talk.chat.draft import Draft
from service.talk.chat.reading import HeardValue
from service.talk.chat.reply_parts import ChatAction, ChatQuestion
from service.talk.chat.saying import all_said

NO_PEACE: Final = frozenset({"keep_going", "wait", "raise_draw"})
"""Moves that are not advised beside an alarm that nobody has looked into."""
SMOKE, HELP = IN_DANGER
_ASKED: Final = {f"/{question.key.replace('.', '/')}": question for question in IN_DANGER}
"""What stands as asked in a draft: the field alone would not tell this question from the one about all signs."""


def fire_lines(draft: Draft, now: datetime) -> Iterator[str]:
    """What follows the sentence to keep clear: the call, the house, the readings as they were given, the next look."""
    yield emergency_call(draft.status.get("emergency_number"))
    if _may_have_a_duct(draft.status):
        yield said("rule.fire.smoke-into-the-house")
    told = all_said([*_heap_readings(draft.status), *draft.waiting])
    if told:
        yield said("chat.you-told", told="; ".join(told))
    at = now + timedelta(days=AN_HOUR)
    yield said("chat.look-from-afar", hour=hour_of(at), watch=said(f"action.{FIRE_ACTION}.watch_for"))


def _may_have_a_duct(status: Mapping[str, Any]) -> bool:
    """Whether smoke may come into the house by a duct: not only where it was told that none is fitted."""
    fitted = status.get("equipment")
    return fitted is None or "air_duct" in fitted or "air" in (status.get("draw") or {})


def fire_action() -> ChatAction:
    """The one action of a fire, in short."""
    return {"rank": 1, "action": FIRE_ACTION, "title": ACTIONS[FIRE_ACTION].title, "urgency": Urgency.NOW.value}


def danger_question(draft: Draft, *, burning: bool) -> ChatQuestion | None:
    """The question of a heap that may burn; where that is certain, first whether help is called."""
    status = draft.status
    smoke_known = "smoke" in (status.get("signs") or []) or "smoke" in (status.get("not_seen") or [])
    wanted: list[Question] = []
    if burning and status.get("help_called") is None:
        wanted.append(HELP)
    if not smoke_known and status.get("signs") is None:
        wanted.append(SMOKE)
    for pointer, question in _ASKED.items():
        if question in wanted[:1]:
            draft.asked = pointer
            return {"question": question.text, "field": question.field, "why": question.why}
    return None


def is_danger_question(asked: Mapping[str, Any]) -> str | None:
    """What to keep as asked, where a question is one of those in danger."""
    return next((pointer for pointer, question in _ASKED.items() if question.text == asked["question"]), None)


def danger_answer(draft: Draft, text: str) -> HeardValue | None:
    """A short yes or no to the question of danger that stands; and that there is no smoke, in any of the languages."""
    if is_answer("no_smoke", text):
        return HeardValue("/not_seen/-", "smoke")
    question = _ASKED.get(draft.asked or "")
    yes = is_answer("yes", text)
    if question is None or not (yes or is_answer("no", text)):
        return None
    if question is SMOKE:
        return HeardValue("/signs/-" if yes else "/not_seen/-", "smoke")
    return HeardValue("/help_called", yes)


def _heap_readings(status: Mapping[str, Any]) -> Iterator[HeardValue]:
    temperatures = status.get("temperatures") or {}
    for name in ("core", "outer"):
        if temperatures.get(name) is not None:
            yield HeardValue(f"/temperatures/{name}", temperatures[name])
    for sign in status.get("signs") or []:
        if sign == "smoke":
            yield HeardValue("/signs/-", sign)
    if status.get("smell") == "burnt":
        yield HeardValue("/smell", "burnt")
