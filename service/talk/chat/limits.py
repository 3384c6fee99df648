"""Limits told by what must not be: "I don't want the greenhouse to go under 5 C" is to keep it above that."""

from __future__ import annotations

import re
from typing import Final

from service.talk.chat.tokens import TextPiece

_DENIED: Final = (
    r"(?:(?:must|should|can|may|do|does|would|will|could|need|did)(?: not|n't|nt)|cannot|never|trying not|(?<!\w)not)"
)
_FALLS: Final = (
    r"(?:to )?(?:ever )?(?:be )?(?:go|goes|drop|drops|fall|falls|get|gets|dip|dips|sink|sinks|slip|cool)"
    r"(?:ping|ling|ing)?"
    r"(?: down)? (?:below|under|beneath|(?:lower|colder|cooler) than)\b"
)
_WANTED: Final = re.compile(
    rf"(?:(?:must|should|do|to) )?{_DENIED}(?: ever)?(?: to)? (?:want|wanting|let|letting|like|allow|have|afford)\b"
    rf"(?=[^.!?;,\n]{{0,40}}\b{_FALLS})"
)
_NOT_TO: Final = r"(?:not to|to not|never to|to never|not|never)"
_LIKED: Final = re.compile(
    r"(?:would like|'d like|like|want|wants|need|needs|prefer|would prefer|would rather)\b"
    rf"(?=[^.!?;,\n]{{0,40}}\b{_NOT_TO} {_FALLS})"
)
"""The same the other way round: "I would like it not to drop under 40 F"."""
_NOT_UNDER: Final = re.compile(rf"{_NOT_TO} {_FALLS}")
_DRAWN_UNDER: Final = re.compile(
    rf"{_DENIED}(?: ever)? (?:want to )?(?:draw|cool|take|pull|run|chill)"
    r"(?: (?:it|the|my|our|heap|core|pile|middle|down)){0,4} (?:below|under)\b"
)
"""How far a heap may be drawn: "don't draw it below 50 C"."""
_FLOOR: Final = re.compile(
    r"(?:(?:should|must|shall)(?: not| never)(?: ever)?|shouldn't|mustn't|(?:can't|cannot) be allowed to)"
    rf" {_FALLS}"
)
"""What house or heap must not do: "it should never fall below 50 C"."""
_UNDER: Final = re.compile(_FALLS)
_SENTENCE: Final = 80
"""Letters before the limit in which it is said that it must not be (our own)."""


def limit_at(text: str, place: int) -> TextPiece | None:
    """`don't want ...` as what is to be kept, and `to go under` behind it as the limit."""
    if place and text[place - 1].isalnum():
        return None
    drawn = _DRAWN_UNDER.match(text, place)
    if drawn is not None:
        return TextPiece("KEEP_CORE", drawn[0], place, drawn.end())
    floor = _FLOOR.match(text, place)
    if floor is not None:
        return TextPiece("FLOOR", floor[0], place, floor.end())
    wanted = _WANTED.match(text, place) or _LIKED.match(text, place)
    if wanted is not None:
        return TextPiece("KEEP", wanted[0], place, wanted.end())
    under = _NOT_UNDER.match(text, place) or _UNDER.match(text, place)
    if under is None:
        return None
    begins = max(text.rfind(mark, 0, place) for mark in ".!?;,\n") + 1
    asked = _LIKED if under.re is _NOT_UNDER else _WANTED
    denied = asked.search(text, max(begins, place - _SENTENCE))
    return TextPiece("ABOVE", under[0], place, under.end()) if denied and denied.start() < place else None
