"""The reply to one message: its lines, what was understood, and what was not."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from rules.catalogue import said
from service.talk.chat.alarm import Alarms
from service.talk.chat.hearing import WHICH_SCALE
from service.talk.chat.reading import HeardValue
from service.talk.chat.reply_parts import ChatAction, ChatQuestion, Understood, UnreadWords
from service.talk.chat.saying import all_said
from service.talk.chat.understanding import Heard, Unread


@dataclass(slots=True)
class TurnReply:
    """The reply to one message. `lines` are the text, `soon` what concerns the next hour."""

    alarms: Alarms = field(default_factory=Alarms)
    soon: list[str] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    read_back: int = 0
    """How many of the lines say back what was read and what was not."""
    understood: list[Understood] = field(default_factory=list)
    unread: list[UnreadWords] = field(default_factory=list)
    question: ChatQuestion | None = None
    actions: list[ChatAction] = field(default_factory=list)

    @property
    def keep_clear(self) -> str | None:
        """What must be told first: of fire, of gas and sick people, of pipes."""
        return self.alarms.text

    @property
    def text(self) -> str:
        """The reply in plain words, what concerns life in the next hour first."""
        return "\n".join([*self.alarms.sentences, *self.soon, *self.lines])


_DIGITS: Final = re.compile(r"\d+(?:[.,]\d+)?")
MOST_OF_ONE: Final = 4
"""Of one field so many values are said back, the last told: the last of them stands."""


def _told_once(heard: Heard) -> list[HeardValue]:
    """Each reading once: who says the same a hundred times is not answered a hundredfold."""
    last = {repr(item): item for item in reversed(heard.understood)}
    times: Counter[str] = Counter()
    kept = []
    for item in last.values():
        times[item.pointer] += not item.pointer.endswith("/-")
        if times[item.pointer] <= MOST_OF_ONE:
            kept.append(item)
    return kept[::-1]


def tell_heard(heard: Heard, reply: TurnReply) -> None:
    """Say back what was understood and name what was not."""
    told = _told_once(heard)
    reply.understood = [{"field": item.pointer, "value": item.value, "said": all_said([item])[0]} for item in told]
    reply.unread = [{"text": item.text, "why": item.why} for item in heard.unread]
    if heard.mended:
        slips = (said("chat.slip", typed=typed, meant=meant) for typed, meant in heard.mended)
        reply.lines.append(said("chat.took", slips=", ".join(slips)))
    if told:
        reply.lines.append(said("chat.read", told="; ".join(all_said(told))))
    if heard.untold:
        names = ", ".join(name.rpartition("/")[2].replace("_", " ") for name in heard.untold)
        reply.lines.append(said("chat.not-known", names=names))
    reply.lines += [_unread_line(item) for item in heard.unread if item.why != WHICH_SCALE]
    scaleless = dict.fromkeys(f'"{item.text}"' for item in heard.unread if item.why == WHICH_SCALE)
    if scaleless:
        reply.lines.append(said("chat.no-scale", what=", ".join(scaleless), why=WHICH_SCALE))
    reply.read_back = len(reply.lines)


def tell_unanswered(asides: Sequence[Unread], reply: TurnReply) -> None:
    """Name the questions with a number that no line of the reply takes up: it may have been meant as told."""
    spoken = set(_DIGITS.findall(reply.text))
    for item in asides:
        if not set(_DIGITS.findall(item.text)) <= spoken:
            why = said("chat.told-in-a-question")
            reply.unread.append({"text": item.text, "why": why})
            reply.lines.append(_unread_line(Unread(item.text, why)))


def _unread_line(item: Unread) -> str:
    return said("chat.not-read", what=item.text, why=item.why.rstrip(".")).replace("?.", "?")
