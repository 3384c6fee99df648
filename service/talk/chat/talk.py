"""One turn of a conversation: a message in, what was understood, what to do and what to tell next out."""

from __future__ import annotations

import copy
from datetime import datetime
from typing import Final

from rules.catalogue import said
from rules.tables.alarm_words import speaks_of
from service.problems.json_text import JsonObject
from service.status.partial import lacking
from service.talk.chat.advising import SCALE, advice_and_question, advice_so_far, explain_action, question_next
from service.talk.chat.alarm import alarms
from service.talk.chat.commands import Command, command_in
from service.talk.chat.danger import (
    danger_answer,
    fire_lines,
)
from service.talk.chat.draft import SYSTEM_OF, Draft
from service.talk.chat.hearing import hear
from service.talk.chat.open_alarms import settles, with_unsettled
from service.talk.chat.questions import general, in_any_case, is_question, of_a_heat, of_this_heap
from service.talk.chat.reading import HeardValue
from service.talk.chat.saying import all_told
from service.talk.chat.turn_reply import TurnReply, tell_heard, tell_unanswered
from service.talk.chat.understanding import Heard, Unread

MOST_SKIPPED: Final = 40
HELP: Final = said("chat.help")
_NOTHING_KNOWN: Final[JsonObject] = {
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
_SCALE_WORDS: Final = {"c": "degC", "celsius": "degC", "centigrade": "degC", "f": "degF", "fahrenheit": "degF"}

_ANSWERED_FIRST: Final = {"bathing": "shower", "sleeping": "smell_house"}
"""What is answered first where it was spoken of and not read: by kind of word the question's answer."""


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
                advice_and_question(draft, now, reply)
        case Command(kind="scale", word=word):
            _scale(draft, word, now, reply)
        case Command(kind="help"):
            reply.lines.append(HELP)
        case Command(kind="hello"):
            reply.lines.append(said("chat.hello", help=HELP))
        case Command(kind="thanks"):
            reply.lines.append(_farewell(draft))
        case Command(kind="told"):
            reply.lines.append(_summary(draft))
        case Command(kind="undo"):
            _undo(draft, now, reply)
        case Command(kind="reset"):
            draft.forget()
            reply.lines.append(said("chat.forgotten", help=HELP))
        case Command(kind="did"):
            reply.lines += [said("chat.did-that")] if not lacking(draft.status) else []
            advice_and_question(draft, now, reply)
        case Command(kind="advice"):
            advice_and_question(draft, now, reply)
        case _:
            explain_action(draft, command, now, reply)
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
    tell_heard(heard, reply)
    advice_and_question(draft, now, reply)


def _farewell(draft: Draft) -> str:
    """You are welcome, and when to come back."""
    return said("chat.welcome" if draft.status else "chat.welcome-new")


def _summary(draft: Draft) -> str:
    """What was told so far, said back."""
    if not draft.status:
        return said("chat.nothing-told")
    text_id = "chat.told-me-waiting" if draft.waiting else "chat.told-me"
    return said(text_id, told="; ".join(all_told(draft.status)), count=str(len(draft.waiting)))


def _undo(draft: Draft, now: datetime, reply: TurnReply) -> None:
    reply.lines.append(
        said("chat.taken-back", summary=_summary(draft)) if draft.undo() else said("chat.nothing-to-undo")
    )
    if not lacking(draft.status):
        advice_and_question(draft, now, reply)


def _answer_question(draft: Draft, text: str, now: datetime, reply: TurnReply) -> None:
    """Answer what was asked: from the advice for this heap where it is known, else from the knowledge in general."""
    if reply.alarms.open:  # "is 158 F too hot?" speaks of a heat, and of nothing that is seen
        heat = None if reply.alarms.kinds or reply.alarms.burning else of_a_heat(text)
        reply.lines.append(heat or said("alarm.first"))
        return
    known = not lacking(draft.status)
    answer = advice_so_far(draft, now) if known else None
    told = general(text, first=True) or (of_this_heap(text, answer) if answer is not None else None)
    told = told or general(text)
    if told is None and not known and of_this_heap(text, _NOTHING_KNOWN) is not None:
        told = said("chat.depends")
    reply.lines.append(told or (said("chat.cannot") if answer is None else in_any_case(answer)))


def _report(draft: Draft, text: str, now: datetime, reply: TurnReply) -> None:
    before = copy.deepcopy(draft.status)
    heard = hear(text, draft, now)
    if heard.understood:
        draft.before = before
    unread = [item.text for item in heard.unread]
    found = alarms(text, unread, [*heard.understood, *draft.waiting], draft.status)
    unsettled = draft.unsettled
    reply.alarms = with_unsettled(found, draft, text)
    if len(draft.unsettled) < len(unsettled):
        heard.unread = [item for item in heard.unread if not settles(item.text)]
    if not reply.alarms.burning:
        of_the_loop = any(told.pointer.startswith("/draw/water") for told in heard.understood)
        rest = text if of_the_loop else "\n".join(unread)  # what is done with its water may stand beside what was read
        reply.soon += [said(f"faq.{id_}") for kind, id_ in _ANSWERED_FIRST.items() if speaks_of(kind, rest)]
    if heard.language is not None:
        reply.lines += [said(f"chat.only-english.{heard.language}"), said("chat.english-sample")]
        reply.unread = [{"text": item.text, "why": item.why} for item in heard.unread]
        if reply.alarms.burning or reply.alarms.fire:
            advice_and_question(draft, now, reply)
        return
    asks = is_question(text)
    asides = [item for item in heard.unread if item.aside] if asks else []
    heard.unread = [item for item in heard.unread if item not in asides]
    tell_heard(heard, reply)
    if asks:
        _answer_question(draft, text, now, reply)
        tell_unanswered(asides, reply)
        if not heard.understood:
            reply.question = question_next(draft, now) if lacking(draft.status) else None
            draft.asked = reply.question["field"] if reply.question else draft.asked
            return
    if not heard.understood and not draft.status and not reply.alarms.fire:
        reply.lines.append(HELP)
        reply.question = question_next(draft, now)
        return
    advice_and_question(draft, now, reply)


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
    tell_heard(heard, reply)
    reply.alarms = alarms("", (), [*heard.understood, *draft.waiting], draft.status)
    advice_and_question(draft, now, reply)


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
