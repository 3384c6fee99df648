"""What a turn advises: the first actions, the next question, an action explained."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any, Final

from rules.catalogue import said
from rules.language.model import Gravity
from rules.language.vocabulary import WordKind, word_of
from service.answer.advice import advise
from service.answer.plain_text import action_by_itself, advice_as_text
from service.answer.shapes.action import ActionShown
from service.answer.shapes.advice import Advice
from service.answer.words import amount_in_words, life_cautions, when
from service.questions.question import next_question
from service.status.partial import lacking
from service.status.reading import read_status
from service.talk.chat.commands import Command
from service.talk.chat.danger import NO_PEACE, danger_question, fire_action, fire_lines, is_danger_question
from service.talk.chat.draft import Draft
from service.talk.chat.reply_parts import ChatQuestion, Understood
from service.talk.chat.turn_reply import TurnReply

MOST_ACTIONS: Final = 3
MOST_IN_ALL: Final = 120
"""Words of a reply beside what it read back: a cold hand scrolls no more (our own)."""
MOST_WORDS: Final = 30
"""Words of the draw plan in a reply (our own)."""
_MAY_DIE: Final = said("plan.may-die", dies="|").partition("|")[0]
_KINDS: Final[dict[str, WordKind]] = {"/smell": "smell", "/signs/-": "sign", "/people/-": "symptom"}
SCALE: Final = "/units"
SCALE_QUESTION: Final[ChatQuestion] = {
    "question": said("chat.scale"),
    "field": SCALE,
    "why": said("chat.scale-why"),
}
_ENOUGH: Final = said("chat.enough")
_ENOUGH_YET: Final = said("chat.enough-yet")


def advice_and_question(draft: Draft, now: datetime, reply: TurnReply) -> None:
    """What to do first as far as can be told, then the one question that would help most."""
    if reply.alarms.burning:
        _tell_fire(draft, now, reply)
        return
    reply.question = question_next(draft, now)
    if lacking(draft.status):
        reply.soon += _at_once(reply)
        if reply.question is None:
            reply.lines.append(next_question(draft.as_of(now), draft.skipped)["why"])
    else:
        _tell_advice(draft, now, reply)
    if reply.alarms.open and not draft.waiting:
        reply.question = danger_question(draft, burning=False) if reply.alarms.fire else None
    _ask(draft, reply)


def _at_once(reply: TurnReply) -> list[str]:
    """What presses of the smells, signs and people just told, while too little is known for advice."""
    told = []
    for item in reply.understood:
        kind = _KINDS.get(item["field"])
        word = word_of(kind, str(item["value"])) if kind else None
        if word is not None and word.at_once:
            told.append(said(f"rule.{word.at_once}", smell=word.id.replace("_", " ")))
    return list(dict.fromkeys(told))


def _tell_fire(draft: Draft, now: datetime, reply: TurnReply) -> None:
    """The fire answer, whatever else is missing or was asked: nothing is asked for which anybody has to go near."""
    reply.actions = [fire_action()]
    reply.soon += fire_lines(draft, now)
    if not lacking(draft.status):
        first = "\n".join(reply.soon)  # who is unwell, or without power, is told of that too
        soon = life_cautions(advice_so_far(draft, now)["actions"], soon=True)
        reply.soon += [caution["text"] for caution in soon if caution["text"] not in first]
    reply.question = danger_question(draft, burning=True)
    _ask(draft, reply)


def _ask(draft: Draft, reply: TurnReply) -> None:
    """Put the question at the end of the reply, and keep it as asked."""
    draft.asked = None
    if reply.question is not None:
        text_id = "chat.question" if reply.actions else "chat.question-why"  # beside advice it is short
        reply.lines.append(said(text_id, question=reply.question["question"], why=reply.question["why"]))
        draft.asked = is_danger_question(reply.question) or reply.question["field"]
    advised = [*reply.soon, *reply.lines[reply.read_back :]]
    if len(" ".join(advised).split()) > MOST_IN_ALL and said("chat.say-why") in reply.lines:
        reply.lines.remove(said("chat.say-why"))


def _tell_advice(draft: Draft, now: datetime, reply: TurnReply) -> None:
    """The first actions; where no answer would change the first of them, a question that may refine the rest."""
    answer = advice_so_far(draft, now)
    advised = [item for item in answer["actions"] if not (reply.alarms.open and item["action"] in NO_PEACE)]
    reply.actions = [
        {"rank": item["rank"], "action": item["action"], "title": item["title"], "urgency": item["urgency"]}
        for item in advised
    ]
    reply.soon += [caution["text"] for caution in life_cautions(answer["actions"], soon=True)]
    reply.lines += [_action_line(action, reasoned=place == 0) for place, action in enumerate(advised[:MOST_ACTIONS])]
    reply.lines += list(_of_what_is_seen(answer["actions"], reply.understood))
    if answer["draw_plan"] is not None and not reply.alarms.open:
        reply.lines.append(said("chat.how-to-draw", plan=_shortened(answer["draw_plan"]["text"])))
    later = [caution["brief"] or caution["text"] for caution in life_cautions(answer["actions"], soon=False)]
    reply.lines += [said("chat.take-care", cautions=" ".join(later))] if later else []
    if reply.alarms.open:
        reply.lines += [] if advised else [said("alarm.first")]
        return
    reply.lines.append(said("chat.say-why"))
    if reply.question is None:
        still = (item for item in answer["ask_next"] if item["field"] not in draft.skipped)
        reply.question = next((_asked(item) for item in still), None)
        reply.lines.append(_ENOUGH if reply.question is None else _ENOUGH_YET)


def _of_what_is_seen(actions: list[ActionShown], understood: list[Understood]) -> Iterator[str]:
    """What smells and signs of this message tell, and how to deal with visitors; what concerns life stands apart."""
    if not any(entry["field"] in ("/signs/-", "/smell") for entry in understood):
        return
    for caution in actions[0]["cautions"] if actions else []:
        if caution["rule"].startswith(("words.", "visitors.")) and caution["gravity"] != Gravity.LIFE:
            yield caution["text"]


def question_next(draft: Draft, now: datetime) -> ChatQuestion | None:
    """The question to ask next; the scale of temperatures before all others."""
    if draft.waiting:
        return SCALE_QUESTION.copy()
    asked = next_question(draft.as_of(now), draft.skipped)
    return _asked(asked) if asked["question"] else None


def _asked(asked: Mapping[str, Any]) -> ChatQuestion:
    return {"question": asked["question"], "field": asked["field"], "why": asked["why"]}


def advice_so_far(draft: Draft, now: datetime) -> Advice:
    """The answer for the heap as told so far; raises Problem where age or core are lacking."""
    draft.advised_at = now.isoformat()
    return advise(read_status(draft.as_of(now)))


def _shortened(text: str) -> str:
    """The first sentences of a plan, as many as a cold hand scrolls past, and that the heap may die, where it may."""
    kept: list[str] = []
    words = 0
    for sentence in re.split(r"(?<=[.!?]) (?=[A-Z])", text):
        words += len(sentence.split())
        if not kept or words <= MOST_WORDS or sentence.startswith(_MAY_DIE):
            kept.append(sentence)
    return " ".join(kept)


def _action_line(action: ActionShown, *, reasoned: bool) -> str:
    """One action with its dose, and the first reason where it is the first, on a line."""
    amount = amount_in_words(action) if reasoned else amount_in_words(action).partition(" (")[0]
    dose = f", {amount}" if amount else ""
    reason = action["reasons"][0]["text"] if action["reasons"] and reasoned else ""
    return f"{action['rank']}. {action['title']}, {when(action)}{dose}. {reason}".strip()


def explain_action(draft: Draft, command: Command, now: datetime, reply: TurnReply) -> None:
    """One action of the last advice with its reasons and steps, or the whole of it."""
    if lacking(draft.status):
        reply.lines.append(said("chat.nothing-to-explain"))
        advice_and_question(draft, now, reply)
        return
    if reply.alarms.open:
        reply.lines.append(said("alarm.first"))
        return
    then = datetime.fromisoformat(draft.advised_at) if draft.advised_at else now
    answer = advice_so_far(draft, then)
    if command.kind == "more":
        reply.lines.append(advice_as_text(answer))
        return
    reply.lines += _explained(answer["actions"], command.number or 1)


def _explained(actions: list[ActionShown], number: int) -> Iterator[str]:
    if not 1 <= number <= len(actions):
        listed = "; ".join(f"{item['rank']}. {item['title']}" for item in actions)
        yield said("chat.no-such-action", number=str(number), actions=listed)
        return
    yield from (line.rstrip() for line in action_by_itself(actions, number) if line.strip())
