"""One turn of a conversation: a message in, what was understood, what to do and what to tell next out."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Final

from rules.catalogue import said
from rules.language.model import Gravity
from service.answer.advice import advise
from service.answer.plain_text import action_by_itself, as_text
from service.answer.words import amount_in_words, life_cautions, when
from service.questions.question import next_question
from service.status.partial import lacking
from service.status.reading import read_status
from service.talk.chat.alarm import Alarms, alarms
from service.talk.chat.commands import Command, command_in
from service.talk.chat.danger import (
    NO_PEACE,
    danger_answer,
    danger_question,
    fire_action,
    fire_lines,
    is_danger_question,
)
from service.talk.chat.draft import SYSTEM_OF, Draft
from service.talk.chat.heard import Heard, Unread
from service.talk.chat.hearing import WHICH_SCALE, hear
from service.talk.chat.questions import CANNOT, general, in_any_case, is_question, of_this_heap
from service.talk.chat.reading import HeardValue
from service.talk.chat.saying import all_said, all_told
from service.talk.chat.unsettled import with_unsettled

MOST_ACTIONS: Final = 3
MOST_SKIPPED: Final = 40
_QUESTION_FIELDS: Final = ("question", "field", "why")
SCALE: Final = "/units"
HELP: Final = said("chat.help")
SCALE_QUESTION: Final = {
    "question": said("chat.scale"),
    "field": SCALE,
    "why": said("chat.scale-why"),
}
_NOTHING_KNOWN: Final[dict[str, Any]] = {
    "actions": [{"action": "", "title": "", "urgency": "today", "doses": [], "reasons": []}],
    "avoid": [],
    "ask_next": [],
    "energy": {"season_draw": None},
    "draw_plan": None,
    "outlook": {"days_until_cool": None},
    "headline": "",
    "likely_causes": [],
}
"""An answer that says nothing, to see whether a question is about this heap."""
_ENOUGH: Final = said("chat.enough")
_SCALE_WORDS: Final = {"c": "degC", "celsius": "degC", "centigrade": "degC", "f": "degF", "fahrenheit": "degF"}


@dataclass(slots=True)
class TurnReply:
    """The reply to one message. `lines` are the text, `soon` what concerns the next hour."""

    alarms: Alarms = field(default_factory=Alarms)
    soon: list[str] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    understood: list[dict[str, Any]] = field(default_factory=list)
    unread: list[dict[str, str]] = field(default_factory=list)
    question: dict[str, Any] | None = None
    actions: list[dict[str, Any]] = field(default_factory=list)

    @property
    def keep_clear(self) -> str | None:
        """What must be told first: of fire, of gas and sick people, of pipes."""
        return self.alarms.text

    @property
    def text(self) -> str:
        """The reply in plain words, what concerns life in the next hour first."""
        return "\n".join([*self.alarms.sentences, *self.soon, *self.lines])


def turn(draft: Draft, text: str, now: datetime) -> TurnReply:
    """Answer one message and keep in the draft what it told. A command is answered, anything else is read."""
    command = command_in(text)
    passed = draft.goal_passed(now)
    found = alarms(text, (), draft.waiting, draft.status)
    reply = TurnReply(found if command is None else with_unsettled(found, draft, text))
    reply.lines += [said("chat.goal-passed", day=passed)] if passed else []
    answer = danger_answer(draft, text)
    match command:
        case _ if answer is not None:
            _short_answer(draft, answer, text, now, reply)
        case None:
            _report(draft, text, now, reply)
        case Command(kind="unknown", rest=rest):
            _skip(draft, reply)
            if rest:
                _report(draft, rest, now, reply)
            else:
                _advice_and_question(draft, now, reply)
        case Command(kind="scale", word=word):
            _scale(draft, word, now, reply)
        case Command(kind="help"):
            reply.lines.append(HELP)
        case Command(kind="hello"):
            reply.lines.append(f"Hello. {HELP}")
        case Command(kind="thanks"):
            reply.lines.append(_farewell(draft))
        case Command(kind="told"):
            reply.lines.append(_summary(draft))
        case Command(kind="undo"):
            _undo(draft, now, reply)
        case Command(kind="reset"):
            draft.forget()
            reply.lines.append("All forgotten. " + HELP)
        case Command(kind="did"):
            reply.lines += [said("chat.did-that")] if not lacking(draft.status) else []
            _advice_and_question(draft, now, reply)
        case Command(kind="advice"):
            _advice_and_question(draft, now, reply)
        case _:
            _explain(draft, command, now, reply)
    if reply.alarms.burning and not reply.soon and not (command and command.kind == "reset"):
        reply.soon += fire_lines(draft, now)
    return reply


def _short_answer(draft: Draft, answer: HeardValue, text: str, now: datetime, reply: TurnReply) -> None:
    """A yes or no to the question whether smoke is seen, or help is called."""
    draft.take(answer, now)
    heard = Heard(understood=[answer])
    found = alarms(
        text if answer.pointer == "/not_seen/-" else "", (), [*heard.understood, *draft.waiting], draft.status
    )
    reply.alarms = with_unsettled(found, draft, text)
    _tell_heard(heard, reply)
    _advice_and_question(draft, now, reply)


def _farewell(draft: Draft) -> str:
    """You are welcome, and when to come back."""
    return "You are welcome. " + (
        "Tell me when something changes: a new reading, smell or sign." if draft.status else "Tell me of your heap."
    )


def _summary(draft: Draft) -> str:
    """What was told so far, said back."""
    if not draft.status:
        return said("chat.nothing-told")
    waiting = f" {len(draft.waiting)} temperatures wait for °C or °F." if draft.waiting else ""
    return f"You told me: {'; '.join(all_told(draft.status))}.{waiting}"


def _undo(draft: Draft, now: datetime, reply: TurnReply) -> None:
    reply.lines.append("Taken back. " + _summary(draft) if draft.undo() else said("chat.nothing-to-undo"))
    if not lacking(draft.status):
        _advice_and_question(draft, now, reply)


def _answer_question(draft: Draft, text: str, now: datetime, reply: TurnReply) -> None:
    """Answer what was asked: from the advice for this heap where it is known, else from the knowledge in general."""
    if reply.alarms.open:
        reply.lines.append(said("alarm.first"))
        return
    known = not lacking(draft.status)
    answer = _advice(draft, now) if known else None
    told = general(text, first=True) or (of_this_heap(text, answer) if answer is not None else None)
    told = told or general(text)
    if told is None and not known and of_this_heap(text, _NOTHING_KNOWN) is not None:
        told = "That depends on the heap: tell me its age and what the probe reads in the middle, and I can say."
    reply.lines.append(told or (CANNOT if answer is None else in_any_case(answer)))


def _report(draft: Draft, text: str, now: datetime, reply: TurnReply) -> None:
    before = copy.deepcopy(draft.status)
    heard = hear(text, draft, now)
    if heard.understood:
        draft.before = before
    unread = [item.text for item in heard.unread]
    found = alarms(text, unread, [*heard.understood, *draft.waiting], draft.status)
    reply.alarms = with_unsettled(found, draft, text)
    asks = is_question(text)
    if asks:
        heard.unread = [item for item in heard.unread if not item.aside]
    _tell_heard(heard, reply)
    if asks:
        _answer_question(draft, text, now, reply)
        if not heard.understood:
            reply.question = _question(draft, now) if lacking(draft.status) else None
            draft.asked = reply.question["field"] if reply.question else draft.asked
            return
    if not heard.understood and not draft.status and not reply.alarms.burning:
        reply.lines.append(HELP)
        reply.question = _question(draft, now)
        return
    _advice_and_question(draft, now, reply)


def _tell_heard(heard: Heard, reply: TurnReply) -> None:
    """Say back what was understood and name what was not."""
    reply.understood = [{"field": item.pointer, "value": item.value} for item in heard.understood]
    for entry, words in zip(reply.understood, (all_said([item])[0] for item in heard.understood), strict=True):
        entry["said"] = words
    reply.unread = [{"text": item.text, "why": item.why} for item in heard.unread]
    if heard.mended:
        reply.lines.append("I took " + ", ".join(f"“{typed}” for “{meant}”" for typed, meant in heard.mended) + ".")
    if heard.understood:
        reply.lines.append(f"Read: {'; '.join(all_said(heard.understood))}.")
    reply.lines += [_unread_line(item) for item in heard.unread if item.why != WHICH_SCALE]
    scaleless = dict.fromkeys(f'"{item.text}"' for item in heard.unread if item.why == WHICH_SCALE)
    if scaleless:
        reply.lines.append(f"Not read: {', '.join(scaleless)} - {WHICH_SCALE}")


def _unread_line(item: Unread) -> str:
    return f'Not read: "{item.text}" - {item.why.rstrip(".")}.'.replace("?.", "?")


def _skip(draft: Draft, reply: TurnReply) -> None:
    """Nobody can tell: the question that stands is not asked again."""
    if draft.asked is None:
        return
    if draft.asked == SCALE:
        draft.waiting.clear()
    elif draft.asked not in draft.skipped:
        draft.skipped = [*draft.skipped, draft.asked][-MOST_SKIPPED:]
    draft.asked = None


def _scale(draft: Draft, word: str, now: datetime, reply: TurnReply) -> None:
    heard = hear_scale(draft, word, now)
    _tell_heard(heard, reply)
    reply.alarms = alarms("", (), [*heard.understood, *draft.waiting], draft.status)
    _advice_and_question(draft, now, reply)


def hear_scale(draft: Draft, word: str, now: datetime) -> Heard:
    """Take the temperatures that waited for their scale, `word` naming it."""
    heard = Heard()
    for reading in draft.settle(SYSTEM_OF[_SCALE_WORDS[word]]):
        why = draft.take(reading, now)
        if why is None:
            heard.understood.append(reading)
        else:
            heard.unread.append(Unread(str(reading.value), why))
    return heard


def _advice_and_question(draft: Draft, now: datetime, reply: TurnReply) -> None:
    """What to do first as far as can be told, then the one question that would help most."""
    if reply.alarms.burning:
        _tell_fire(draft, now, reply)
        return
    reply.question = _question(draft, now)
    if lacking(draft.status):
        if reply.question is None:
            reply.lines.append(next_question(draft.as_of(now), draft.skipped)["why"])
    else:
        _tell_advice(draft, now, reply)
    if reply.alarms.open and not draft.waiting:
        reply.question = danger_question(draft, burning=False) if reply.alarms.fire else None
    _ask(draft, reply)


def _tell_fire(draft: Draft, now: datetime, reply: TurnReply) -> None:
    """The fire answer, whatever else is missing or was asked: nothing is asked for which anybody has to go near."""
    reply.actions = [fire_action()]
    reply.soon += fire_lines(draft, now)
    reply.question = danger_question(draft, burning=True)
    _ask(draft, reply)


def _ask(draft: Draft, reply: TurnReply) -> None:
    """Put the question at the end of the reply, and keep it as asked."""
    draft.asked = None
    if reply.question is not None:
        reply.lines.append(f'Question: {reply.question["question"]} {reply.question["why"]} ("Don\'t know" is fine.)')
        draft.asked = is_danger_question(reply.question) or reply.question["field"]


def _tell_advice(draft: Draft, now: datetime, reply: TurnReply) -> None:
    """The first actions; where no answer would change the first of them, a question that may refine the rest."""
    answer = _advice(draft, now)
    advised = [item for item in answer["actions"] if not (reply.alarms.open and item["action"] in NO_PEACE)]
    reply.actions = [{name: action[name] for name in ("rank", "action", "title", "urgency")} for action in advised]
    reply.soon += [caution["text"] for caution in life_cautions(answer["actions"], soon=True)]
    reply.lines += [_action_line(action) for action in advised[:MOST_ACTIONS]]
    reply.lines += list(_of_what_is_seen(answer["actions"], reply.understood))
    if answer["draw_plan"] is not None and not reply.alarms.open:
        reply.lines.append(f"How to draw: {answer['draw_plan']['text']}")
    reply.lines += [f"Take care: {caution['text']}" for caution in life_cautions(answer["actions"], soon=False)]
    if reply.alarms.open:
        reply.lines += [] if advised else [said("alarm.first")]
        return
    reply.lines.append('Say "why 1" for reasons and steps, "more" for everything.')
    if reply.question is None:
        reply.lines.append(_ENOUGH)
        still = (item for item in answer["ask_next"] if item["field"] not in draft.skipped)
        reply.question = next(({name: item[name] for name in _QUESTION_FIELDS} for item in still), None)


def _of_what_is_seen(actions: list[dict[str, Any]], understood: list[dict[str, Any]]) -> Iterator[str]:
    """What smells and signs of this message tell, and how to deal with visitors; what concerns life stands apart."""
    if not any(entry["field"] in ("/signs/-", "/smell") for entry in understood):
        return
    for caution in actions[0]["cautions"] if actions else []:
        if caution["rule"].startswith(("words.", "visitors.")) and caution["gravity"] != Gravity.LIFE:
            yield caution["text"]


def _question(draft: Draft, now: datetime) -> dict[str, Any] | None:
    """The question to ask next; the scale of temperatures before all others."""
    if draft.waiting:
        return dict(SCALE_QUESTION)
    asked = next_question(draft.as_of(now), draft.skipped)
    return {name: asked[name] for name in _QUESTION_FIELDS} if asked["question"] else None


def _advice(draft: Draft, now: datetime) -> dict[str, Any]:
    draft.advised_at = now.isoformat()
    return advise(read_status(draft.as_of(now)))


def _action_line(action: Mapping[str, Any]) -> str:
    """One action with its dose and first reason on a line."""
    amount = amount_in_words(action)
    dose = f", {amount}" if amount else ""
    reason = action["reasons"][0]["text"] if action["reasons"] else ""
    return f"{action['rank']}. {action['title']}, {when(action)}{dose}. {reason}".strip()


def _explain(draft: Draft, command: Command, now: datetime, reply: TurnReply) -> None:
    """One action of the last advice with its reasons and steps, or the whole of it."""
    if lacking(draft.status):
        reply.lines.append("There is no advice to explain yet.")
        _advice_and_question(draft, now, reply)
        return
    if reply.alarms.open:
        reply.lines.append(said("alarm.first"))
        return
    then = datetime.fromisoformat(draft.advised_at) if draft.advised_at else now
    answer = _advice(draft, then)
    if command.kind == "more":
        reply.lines.append(as_text(answer))
        return
    reply.lines += _explained(answer["actions"], command.number or 1)


def _explained(actions: list[dict[str, Any]], number: int) -> Iterator[str]:
    if not 1 <= number <= len(actions):
        listed = "; ".join(f"{item['rank']}. {item['title']}" for item in actions)
        yield f"There is no action {number}. These are there: {listed}."
        return
    yield from (line.rstrip() for line in action_by_itself(actions, number) if line.strip())
