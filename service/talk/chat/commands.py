"""Messages that ask something of the chat itself: why, more, help, start over, don't know, and the scale of degrees."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal

from service.talk.chat.numbers import spelled_number
from service.talk.chat.plain_text import plain

CommandKind = Literal[
    "why", "more", "help", "hello", "thanks", "told", "undo", "reset", "unknown", "scale", "advice", "did"
]

_WHY: Final = r"(?:but )?(?:why|explain|reasons?(?: for)?|how)"
_PATTERNS: Final[tuple[tuple[CommandKind, re.Pattern[str]], ...]] = (
    ("why", re.compile(_WHY + r"(?: is| was| number| no\.?| nr\.?| action| point)*[ #]*(\w+)?")),
    (
        "more",
        re.compile(
            r"(?:tell me )?more|(?:show )?all|everything|details?|(?:the )?(?:full|whole) (?:list|answer|advice)"
        ),
    ),
    (
        "help",
        re.compile(
            r"help(?: me)?(?: please)?|what can (?:i|you) (?:say|do)|commands|how does this work|start|/start|/help"
        ),
    ),
    (
        "hello",
        re.compile(r"(?:hi|hello|hey|good (?:morning|evening|afternoon|day)|howdy|hallo)(?: there| again| all)?"),
    ),
    (
        "thanks",
        re.compile(
            r"(?:ok |okay |great |good |nice |perfect |many |no |cool )*(?:thanks|thank you|thx|ta|cheers|much obliged)"
            r"(?: a lot| so much| very much| again| mate| all| love| for (?:that|the help|everything|your help))*"
            r"|great|perfect|got it|will do"
        ),
    ),
    (
        "told",
        re.compile(
            r"(?:so )?what (?:did|have) i (?:tell|told|say|said)(?: to)?(?: you)?(?: so far| already)?|what do you know"
            r"(?: about (?:it|my heap|the heap))?(?: so far)?|what have you (?:got|read|noted)(?: so far)?|summary"
            r"|show what i told you"
        ),
    ),
    (
        "undo",
        re.compile(
            r"undo(?: that| it| the last)?|take (?:that|it) back|scrap that|ignore that"
            r"|forget (?:that|the last(?: one)?|that last bit|the last bit|what i just said)"
        ),
    ),
    ("reset", re.compile(r"start (?:over|again)|reset|new (?:heap|pile)|forget (?:it|all|everything)|/reset")),
    (
        "did",
        re.compile(
            r"(?:(?:ok|okay|right|great|good|so|yes|well|alright|cool|and|now)[ ,.!]+)*"
            r"(?:(?:i|we|i've|we've|i have|all) )?(?:just )?(?:did|done|finished|completed)"
            r"(?: (?:that|it|this|so|all that|all of it|as you said|what you said|as told|the first one|both))?"
            r"(?: (?:now|already|today|yesterday))?"
            r"(?:[ ,.!?]+(?:so )?(?:and )?(?:what(?:'s| is|s)? (?:next|now|then|else)|now what|next"
            r"|what (?:do|should) i do (?:now|next)|anything else|what now))?"
        ),
    ),
    (
        "advice",
        re.compile(
            r"(?:(?:ok|okay|so|right|and|well|great)[ ,]+)*(?:what(?:'s| is|s) next|what else|what first)"
            r"|advice|what now|now what|what (?:should|do|must|can) i do(?: now| first| next)?|so"
        ),
    ),
    (
        "scale",
        re.compile(
            r"(?:in |it's |it is |they are |they're |all )?(?:degrees? |deg )?°? ?(c|f|celsius|fahrenheit|centigrade)"
        ),
    ),
)
_UNKNOWN: Final = re.compile(
    r"(?:i |i'm |we )?(?:really )?"
    r"(?:don't know|do not know|dont know|dunno|no idea|not sure|idk|unknown|can't tell|cannot tell|can't say|no clue"
    r"|haven't looked|didn't look|not measured|skip(?: it| that| this)?|pass|next)"
    r"(?: that| this| it| yet)?(?:[,;.]| but\b|$)"
)


@dataclass(frozen=True, slots=True)
class Command:
    """What is asked; `number` of the action to explain, `word` of a scale, `rest` of the message behind it."""

    kind: CommandKind
    number: int | None = None
    word: str = ""
    rest: str = ""


def command_in(text: str) -> Command | None:
    """The command a message is, or begins with; None where it is a report."""
    words = plain(text).strip(" \n.!?,\"'")
    unknown = _UNKNOWN.match(words)
    if unknown is not None or plain(text).strip() in ("?", "??"):
        return Command("unknown", rest=words[unknown.end() :].strip() if unknown else "")
    for kind, pattern in _PATTERNS:
        found = pattern.fullmatch(words)
        if found is None:
            continue
        if kind == "why":
            number = _number(found[1])
            if number is None and found[1] is not None:
                continue
            return Command(kind, number or 1)
        return Command(kind, word=found[1] if kind == "scale" else "")
    return None


def _number(word: str | None) -> int | None:
    if word is None:
        return None
    if word.isdecimal() and len(word) <= 2:
        return int(word)
    spelled = spelled_number([word])
    return int(spelled[0]) if spelled else None
