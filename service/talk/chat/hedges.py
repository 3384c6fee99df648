"""What cautions for life rest on and was told with a doubt: it is asked back, not taken for certain."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from rules.catalogue import said
from service.talk.chat.reading import Gap, HeardValue, Told

_CAUTIONED: Final = frozenset(
    {
        *("/draw/air/path", "/draw/air/inlet_from", "/draw/water/loop", "/draw/water/tube", "/not_seen/-", "/people"),
        "/probe/checked",
    }
)
"""What makes a caution for life stand or fall."""
_UNSURE: Final = re.compile(
    r"\b(?:(?:don't|do not|didn't) (?:think|believe|reckon|suppose)"
    r"|i (?:think|guess|believe|suppose|reckon|assume)|probably|possibly|perhaps|maybe|presumably|i'd (?:guess|say)"
    r"|not (?:entirely |quite |really )?sure|should be|supposed to be|as far as i (?:know|remember|can tell)"
    r"|if i remember"
    r"|i'm (?:fairly|pretty|quite) sure|might be|could be|afaik|i'm told|apparently)\b"
)
_BEHIND: Final = re.compile(
    r",? ?(?:but )?(?:i (?:don't|do not) (?:think|believe)"
    r"|i (?:think|guess|believe|suppose|reckon|assume)|probably|maybe|perhaps|not sure|i'm not sure"
    r"|as far as i (?:know|remember|can tell)|if i remember(?: rightly| right)?|afaik) ?(?:[.;!?\n,]|$)"
)
"""A doubt that comes after: "a closed loop, I think"."""
_BEGINS: Final = re.compile(r"[.;!?\n,]|\b(?:but|and)\b")


def asked_back(told: tuple[Told, ...], text: str, start: int, end: int) -> tuple[Told, ...]:
    """What a clause at `text[start:end]` tells, with what it is not sure of named instead of taken."""
    if not any(isinstance(each, HeardValue) and each.pointer in _CAUTIONED for each in told):
        return told
    begins = max((mark.end() for mark in _BEGINS.finditer(text, 0, start)), default=0)
    if _UNSURE.search(text, begins, end) is None and _BEHIND.match(text, end) is None:
        return told
    return tuple(_asked_back(told))


def _asked_back(told: tuple[Told, ...]) -> Iterator[Told]:
    for each in told:
        if isinstance(each, HeardValue) and each.pointer in _CAUTIONED:
            yield Gap("", said("chat.hedged"))
        else:
            yield each
