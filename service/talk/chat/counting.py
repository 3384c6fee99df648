"""Numbers in digits and in words with their units, and what makes them unsure."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from service.talk.chat.lexicon import lexicon
from service.talk.chat.numbers import spelled_number, written_number
from service.talk.chat.tokens import TextPiece, WrittenNumber

_NUMBER: Final = re.compile(r"[-+]?(?:\d[\d.,:/]*\d|\d)|(?<![\w.])\.\d+")
_FRACTION: Final = re.compile(r"(?:(\d{1,3})[ -])?([1-7])/([248])(?![\d/])")
_RANGE: Final = re.compile(r" ?°?[cf]? ?(?:-|\.\.\.?) ?(?=\d)")
_RATE: Final = re.compile(
    r"/(?! )| /(?! )|,? ?(?:per|each|every)\b(?! side| way| direction)"
    r"| an? (?:second|minute|hour|day|night|week|month|year)\b(?! ago| back)"
)
_AND_A_BIT: Final = re.compile(r" and (?:a )?(?:half|quarter|bit)\b| or (?:so|two|three|more)\b| plus\b|\+")
_AND_A_HALF_MORE: Final = re.compile(r" and a half(?![\w'-]| (?:dozen|an)\b)")
_AND_HALF_DAILY: Final = re.compile(r" and (?:a )?half(?= (?:a|per|each|every) day\b| ?/ ?day\b)")
"""`a degree and half a day` is 1.5 degrees a day, no half day."""
_ENDS: Final = re.compile(r" ?(?:[.,;!?)\n]|$)")
_PER_DAY: Final = re.compile(r" ?(?:/|per|a|each|every) ?day\b")
_BELOW_ZERO: Final = re.compile(
    r" ?(?:degrees )?below (?:zero\b|(?=(?:tonight|outside|outdoors|overnight|by morning|tomorrow)\b))"
    r"| (?:degrees )?of frost\b"
)
"""`12 below zero`, `12 below tonight`: a number below nought; of any other `12 below` nobody says below what."""
_FROST: Final = "frost"
_AND_A_HALF: Final = ["and", "a", "half"]
_HALVED: Final = frozenset({"DURATION", "VOLUME", "LENGTH", "WATERFLOW", "MASS"})
"""What may be told by halves: half a gallon, half a metre."""
_ONE_OF: Final = frozenset({"VOLUME", "YARDS", "MASS"})
"""Units of which "a" is one before "of": "a yard of coffee grounds"; a ton is none."""
_OF: Final = re.compile(r" of\b")
_OF_COUPLES: Final = frozenset({"DURATION", "VOLUME", "YARDS", "MASS", "LENGTH"})
"""A couple of these is two; of degrees or minutes in an hour nobody knows."""
_OF_ONE: Final = frozenset({"reads", "read", "says", "said", "shows", "is", "was", "at", "of", "in", "near", "on"})
"""Behind these "one" is no number: "one reads 128 F"."""
_TENS_SAID: Final = frozenset(range(20, 100, 10))
"""Tens that with "one" before them are a hundred more, where degrees follow: "one thirty f", "one thirty eight f"."""
_MINUS: Final = frozenset({"minus", "negative"})
_OR_SO: Final = re.compile(r" and a bit\b| or so\b| plus\b|\+")
"""Behind an age it is as good as "about"."""
_HALF_MORE: Final = re.compile(r" and (?:a )?half(?= )")
_ALWAYS: Final = "24/7"
COUNTED: Final = frozenset({"pickup_load", "barrow", "bucket"})
"""Units of which "a" is one: they are counted, not measured."""


def counted_number(text: str, place: int) -> TextPiece | None:
    """A number in digits with its unit, or with what makes it unsure."""
    found = _NUMBER.match(text, place)
    if found is None or (found[0][0] in "-+" and place and text[place - 1] not in " \n:=(,;"):
        return None
    if found[0] == _ALWAYS and not text[found.end() : found.end() + 1].isalnum():
        return TextPiece("ALWAYS", _ALWAYS, place, found.end())
    fraction = _FRACTION.match(text, place)
    if fraction is not None and fraction.end() >= found.end():
        value: float | None = int(fraction[1] or 0) + int(fraction[2]) / int(fraction[3])
        end = fraction.end()
    else:
        digits = found[0].lstrip("-+")
        sign = -1 if found[0][0] == "-" else 1
        number = written_number(digits if digits[0] != "." else f"0{digits}")
        value, end = (None if number is None else sign * number), found.end()
    return _with_unit(text, place, end, value)


def _with_unit(text: str, place: int, end: int, value: float | None) -> TextPiece:
    """The piece of a number that ends at `end`, with the unit behind it; an unsure one keeps its unit's terminal."""
    halved = _HALF_MORE.match(text, end)
    if halved is not None and value is not None and not value % 1 and _unit(text, halved.end())[1]:
        value, end = value + 0.5, halved.end()
    unit_end, terminal, name = _unit(text, end)
    after = unit_end if terminal else end
    halves = _AND_A_HALF_MORE.match(text, after) if terminal in _HALVED else None
    halves = _AND_HALF_DAILY.match(text, after) if terminal == "TEMP" else halves
    if halves is not None and value is not None and not value % 1:
        value, after, unit_end = value + 0.5, halves.end(), halves.end()
    below = _BELOW_ZERO.match(text, after) if terminal in ("", "TEMP") and value is not None and value > 0 else None
    if below is not None and value is not None:
        end, value = below.end(), -value
        named, after_scale, scale = (name, end, "TEMP") if terminal else ("", *_unit(text, end)[:2])
        named = named or (_unit(text, end)[2] if scale == "TEMP" else "")
        stop = after_scale if scale == "TEMP" else end
        if below[0].endswith(_FROST):  # in degF it is counted from 32 on
            named = "degC" if named in ("", "?", "degC") else "?"
        return TextPiece("TEMP" if named else "NUM", WrittenNumber(value, named), place, stop)
    tail = None if terminal == "DURATION" and _OR_SO.match(text, after) else _tail(text, after)
    daily = _PER_DAY.match(text, after) if terminal in ("", "TEMP") and value is not None else None
    if daily is not None and value is not None:
        return TextPiece("PER_DAY", WrittenNumber(value, name), place, daily.end())
    if tail is not None or value is None:
        rate = terminal == "TEMP" and _RATE.match(text, after) is not None
        unsure = replace(_unsure(text, place, after, terminal), ranges=_RANGE.match(text, after) is not None)
        return replace(unsure, value="RATE") if rate else unsure
    if terminal:
        about = _OR_SO.match(text, unit_end) if terminal == "DURATION" else None
        return TextPiece(terminal, WrittenNumber(value, name), place, about.end() if about else unit_end)
    if text[end : end + 1].isalnum() or text[end : end + 1] in ("%", "$", "#", "'", '"'):
        rest = re.compile(r"\S*").match(text, end)
        assert rest is not None
        return TextPiece("UNSURE", "NUM", place, max(rest.end(), end + 1))
    return TextPiece("NUM", WrittenNumber(value, ""), place, end)


def _tail(text: str, place: int) -> re.Match[str] | None:
    """What behind a number makes it unsure."""
    return _RANGE.match(text, place) or _RATE.match(text, place) or _AND_A_BIT.match(text, place)


def _unsure(text: str, place: int, end: int, terminal: str) -> TextPiece:
    """The piece of an unsure number that ends at `end`, with all numbers it runs on to; the first unit counts."""
    while (tail := _tail(text, end)) is not None:
        further = _NUMBER.match(text, tail.end())
        if further is None:
            return TextPiece("UNSURE", terminal or "NUM", place, tail.end())
        unit_end, next_terminal, _ = _unit(text, further.end())
        end, terminal = (unit_end if next_terminal else further.end()), terminal or next_terminal
    return TextPiece("UNSURE", terminal or "NUM", place, end)


def _unit(text: str, place: int) -> tuple[int, str, str]:
    """End, terminal and name of the longest unit behind a number; an empty terminal where there is none."""
    known = lexicon().units
    spaced = text[place : place + 1] in (" ", "-") and text[place : place + 1] != ""
    start = place + 1 if spaced else place
    for length in range(min(30, len(text) - start), 0, -1):
        spelling = text[start : start + length]
        unit = known.get(spelling.replace(".", ""))
        after = text[start + length : start + length + 1]
        if unit is None or spelling[-1] == "." or (spelling[-1].isalnum() and (after.isalnum() or after == "'")):
            continue
        if not (unit.glued and spaced):
            return start + length, unit.terminal, unit.name
    return place, "", ""


def spelled_at(text: str, words: list[str], places: list[re.Match[str]]) -> TextPiece | None:
    """A number in words with its unit; `a week` and `a bucket` are one, `a ton` is none."""
    if words[0] == "one" and words[1:2] and words[1] in _OF_ONE:
        return TextPiece("DROPPED", "", places[0].start(), places[0].end())
    if words[0] == "one" and _ENDS.match(text, places[0].end()):
        return TextPiece("DROPPED", "", places[0].start(), places[0].end())  # "a 50 cm one"
    if words[0] in ("a", "an") and len(words) > 1:
        _, terminal, name = _unit(text, places[0].end())
        of = _OF.match(text, _unit(text, places[0].end())[0]) or text[places[0].end() + 1 :].startswith("cube of ")
        behind = _unit(text, places[0].end())[0]
        daily = terminal == "TEMP" and (_PER_DAY.match(text, behind) or _AND_HALF_DAILY.match(text, behind)) is not None
        if daily or terminal in ("DURATION", "PARTS", "LENGTH") or name in COUNTED or (of and terminal in _ONE_OF):
            return _with_unit(text, places[0].start(), places[0].end(), 1.0)
    if words[0] == "half" and words[1:2] in (["a"], ["an"]) and _unit(text, places[1].end())[1] in _HALVED:
        return _with_unit(text, places[0].start(), places[1].end(), 0.5)
    if words[0] in _MINUS:
        return _minus(text, places)
    couple = _couple(words)
    if couple and _unit(text, places[couple - 1].end())[1] in _OF_COUPLES:
        return _with_unit(text, places[0].start(), places[couple - 1].end(), 2.0)
    number = spelled_number(words)
    if number is None:
        return None
    value, count = number
    if words[0] == "one" and count == 1:
        hundred = spelled_number(words[1:])
        said = hundred is not None and (hundred[0] in _TENS_SAID or hundred[1] > 1)
        if hundred is not None and said and _unit(text, places[hundred[1]].end())[1] == "TEMP":
            return _with_unit(text, places[0].start(), places[hundred[1]].end(), 100 + hundred[0])
    if words[count : count + 3] == _AND_A_HALF:
        value, count = value + 0.5, count + 3
    return _with_unit(text, places[0].start(), places[count - 1].end(), value)


def _couple(words: list[str]) -> int:
    """Words of "a couple of" at the head, which is two; 0 where there is none."""
    begins = int(words[0] == "a")
    if words[begins : begins + 1] != ["couple"]:
        return 0
    return begins + 1 + (words[begins + 1 : begins + 2] == ["of"])


def _minus(text: str, places: list[re.Match[str]]) -> TextPiece | None:
    """`minus five C` or `minus 5 C`."""
    start, after = places[0].start(), places[0].end() + 1
    spelled = spelled_number([place[0] for place in places[1:]])
    if spelled is not None:
        return _with_unit(text, start, places[spelled[1]].end(), -spelled[0])
    digits = re.compile(r"\d+(?:[.,]\d+)?(?![\d/:]|[.,]\d)").match(text, after)
    number = written_number(digits[0]) if digits else None
    return None if digits is None or number is None else _with_unit(text, start, digits.end(), -number)
