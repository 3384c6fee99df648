"""What stands over numbers and is none: a scale told for all of them, a heading before one, hours of the day."""

from __future__ import annotations

import re
from typing import Final

from service.talk.chat.tokens import TextPiece, WrittenNumber

_SCALE_ALONE: Final = re.compile(r"(?:^|[.,;\n] ?)(c|f)(?=\s*(?:[.,;\n]|$))")
_SCALE: Final = re.compile(
    r"\((?:all |both )?(?:in )?(?:deg(?:rees)? )?°?(c|f|celsius|fahrenheit|centigrade)\)"
    r"|(?:(?:all|both|everything|readings|numbers|temps|temperatures) )+(?:are |is )?(?:all )?(?:in )?(?:degrees )?"
    r"°?(c|f|celsius|centigrade|fahrenheit)(?![\w'])"
    r"|deg(?:ree)?s? (c|f)(?![\w'])"
    r"|(?:reads?|reading|set|shows|is|are|all) in (?:degrees )?°?(c|f)(?![\w'])"
    r"|(?:in )?(?:degrees )?(celsius|celcius|farenheit|centigrade|fahrenheit)(?: both| all)?(?![\w'])"
    r"|(?:in |use |using )?(metric|imperial)(?: units| numbers| please)?(?![\w']| t)"
)
"""A scale that is told for all numbers at once, no number before it."""
_HEADING: Final = re.compile(r"(?:temps?|temperature|reading) ?[:=](?= ?-?\d)")
_HALF_OF_DAY: Final = (
    r"am|pm|a\.m\.|p\.m\.|(?:the )?next morning|in the morning|in the evening|in the afternoon|at night"
)
_HOUR_WORDS: Final = (
    *("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"),
)
_HOUR: Final = rf"(?:\d{{1,2}}|{'|'.join(_HOUR_WORDS)})"
_PAST: Final = {"half past": 0.5, "quarter past": 0.25, "quarter to": -0.25}
_CLOCK: Final = (
    rf"(?:(?:{'|'.join(_PAST)}) {_HOUR}(?: ?(?:{_HALF_OF_DAY}|o'clock))?"
    rf"|{_HOUR}(?::\d\d)? ?(?:{_HALF_OF_DAY}|o'clock)|midnight|noon|\d{{1,2}}:\d\d)"
)
_HOURS: Final = re.compile(rf"(?:from |between )?({_CLOCK}) ?(?:-|to|till|til|until|and) ?({_CLOCK})")
_TIME: Final = re.compile(rf"(\d{{1,2}})(?::(\d\d))? ?({_HALF_OF_DAY})?|midnight|noon")
_SPELLED_HOUR: Final = re.compile(rf"\b(?:{'|'.join(_HOUR_WORDS)})\b")
_AT_HOUR: Final = re.compile(
    rf"(?:at|around|by) ((?:(?:{'|'.join(_PAST)}) )?{_HOUR})"
    r"(?:(?: this (morning|afternoon|evening))(?!\w)"
    r"|(?=[,.;!?\n]|$)|(?= (?:yesterday|tonight|last night|on (?:mon|tues|wednes|thurs|fri|satur|sun)day)\b))"
)
"""`at nine this morning` is the hour where a clause begins with it, or where a temperature is told beside it."""
_HEATS: Final = re.compile(r"\d ?(?:°|degrees|deg\b|celsius|fahrenheit|[cf]\b)")
_READ: Final = re.compile(r"\d ?°? ?(?:degrees ?)?(?:c|f|celsius|fahrenheit) $")
_AT: Final = re.compile(rf"(?:at |around |about |by )?({_CLOCK})(?: (?:this morning|today))?(?![\w:])")
_DAY_BESIDE: Final = re.compile(
    r"\b(?:yesterday|night|(?:mon|tues|wednes|thurs|fri|satur|sun)day|\d(?:st|nd|rd|th)?)(?: at)? ?$"
)
_NO_NOSE: Final = "i have a cold|got a cold|blocked nose|stuffed up|stuffy nose|cold nose"
"""Who has one smells nothing, whatever there is."""
_UNSEEN: Final = re.compile(
    r"(?:haven't|have not|hadn't|didn't|did not) (?:seen?|noticed?|smell|smelt|smelled|feel|felt)(?: any)?(?![\w'])"
    r"(?=[^.!?;\n]*\b(?:looked|checked|been (?:there|out)|dark|fog|away|(?:not|wasn't) there|at work)\b)"
    r"|(?:can't|cannot|can not|couldn't|could not|unable to|not able to|impossible to) "
    r"(?:see|smell|tell|feel|notice|spot|make out|check|look for)"
    r"(?: (?:any|if there is any|if there's any|a|the))?(?![\w'])"
    rf"(?=[^.!?;\n]*\b(?:because|(?<=\()cold(?=\))|{_NO_NOSE}|'?cause|cos|coz|cuz"
    r"|(?:since|as) (?:it|i|we|the|my|there|all|everything)\b"
    r"|due to|in the (?:dark|fog)|from here|without (?:my|a)"
    r"|(?:it's|it is|is|was|too) (?:too |so |already |still )?(?:dark|foggy|misty|far))\b)"
)
"""Who cannot see, and says why, has not looked."""
_DRAWS: Final = re.compile(r"\b(?:fan|blower|pump|loop)\b(?:[^.!?;\n]|(?<=\d)\.(?=\d))*$")
_HALF_DAY: Final = 12


def scales_named(text: str) -> set[str]:
    """The scales that are named for all numbers of a text made `plain`: "(all in C)", "celsius both"."""
    if _SCALE_ALONE.search(text):
        return {"degF" if letter == "f" else "degC" for letter in _SCALE_ALONE.findall(text)}
    found = (_SCALE.match(text, place) for place in range(len(text)) if text[place] in "(abcefimrtu")
    return {_scale_of(each) for each in found if each is not None and _begins_word(text, each.start())}


def heading_at(text: str, place: int) -> TextPiece | None:
    """`temp:` before a number, which is what the probe reads; hours from one to another, which tell nothing."""
    if not _begins_word(text, place):
        return None
    hours = _HOURS.match(text, place)
    if hours is not None:
        length = _length(hours[1], hours[2]) if _DRAWS.search(text, 0, place) else None
        if length is None:
            return TextPiece("DROPPED", "", place, hours.end())
        return TextPiece("HOURS", WrittenNumber(length, "h/day"), place, hours.end())
    at = _AT.match(text, place)
    if at is not None:
        return _time_of_day(text, place, at)
    at = _AT_HOUR.match(text, place)
    if at is not None and _is_hour(text, place, at):
        hour = _hour(f"{at[1]} {'am' if at[2] == 'morning' else 'pm'}") if at[2] else None
        return TextPiece("TODAY" if at[2] else "DROPPED", hour if at[2] else "", place, at.end())
    found = _HEADING.match(text, place)
    return None if found is None else TextPiece("PROBE", found[0], place, found.end())


def _time_of_day(text: str, place: int, at: re.Match[str]) -> TextPiece | None:
    """`at 6 am` as that hour of today; behind a day it tells nothing that is kept. None where it is no one hour."""
    hour = _hour(at[1])
    if "at night" in at[1]:
        return None
    if hour is None:  # of which half of the day is not told
        return (
            TextPiece("DROPPED", "", place, at.end())
            if at[1].endswith("o'clock") or at[1].startswith(tuple(_PAST))
            else None
        )
    if _DAY_BESIDE.search(text, max(0, place - 12), place):
        return TextPiece("DROPPED", "", place, at.end())
    return TextPiece("TODAY", hour, place, at.end())


def _is_hour(text: str, place: int, at: re.Match[str]) -> bool:
    """Whether a bare number behind "at" is an hour: a clause begins with it, or a temperature stands beside it."""
    begins = max(text.rfind(mark, 0, place) for mark in ".!?;\n") + 1
    ends = min((end for end in (text.find(mark, at.end()) for mark in "!?;\n") if end >= 0), default=len(text))
    if at.end() == len(text) or text[at.end()] in ",.;!?\n":
        return _READ.search(text, begins, place) is not None  # "-7 C at six"
    heads = text[:place].rstrip().endswith((",", ".", "!", "?", ";", "\n", ":")) or not text[:place].strip()
    return heads or _HEATS.search(text[begins:place] + text[at.end() : ends]) is not None


def _length(begins: str, ends: str) -> float | None:
    """Hours from one time of day to the other, where both say in which half of the day they are."""
    times = [_hour(begins), _hour(ends)]
    return None if times[0] is None or times[1] is None else round((times[1] - times[0]) % 24, 2) or 24.0


def _hour(time: str) -> float | None:
    """The hour of a time of day such as `8 pm`; None where it could be morning or evening."""
    past = next((part for part in _PAST if time.startswith(part)), "")
    time = _SPELLED_HOUR.sub(lambda word: str(_HOUR_WORDS.index(word[0]) + 1), time.removeprefix(past).strip())
    found = _TIME.fullmatch(time)
    if found is None or found[0] in ("noon", "midnight"):
        return None if found is None else float(_HALF_DAY * (found[0] == "noon"))
    hour, half = int(found[1]), found[3]
    if half is None or not 1 <= hour <= _HALF_DAY:
        by_24 = half is None and found[2] and (hour > _HALF_DAY or time.startswith("0"))
        return hour + int(found[2]) / 60 if by_24 else None
    late = not half.endswith(("am", "a.m.", "morning")) and not (half == "at night" and hour < _HALF_DAY / 2)
    late = late if half != "at night" or hour != _HALF_DAY else False
    return hour % _HALF_DAY + _HALF_DAY * late + int(found[2] or 0) / 60 + _PAST.get(past, 0.0)


def unseen_at(text: str, place: int) -> TextPiece | None:
    """`can't see any` of who tells why there was nothing to be seen, as what is not known: no sign is denied."""
    found = _UNSEEN.match(text, place) if _begins_word(text, place) else None
    return None if found is None else TextPiece("UNTOLD", found[0], place, found.end())


def scale_at(text: str, place: int) -> TextPiece | None:
    """A scale named for all numbers, which says nothing by itself where it stands."""
    found = _SCALE.match(text, place) if _begins_word(text, place) else None
    return None if found is None else TextPiece("DROPPED", "", place, found.end())


def _begins_word(text: str, place: int) -> bool:
    return place == 0 or not (text[place - 1].isalnum() or text[place - 1] in "°'")


def _scale_of(found: re.Match[str]) -> str:
    (letter,) = {group[0] for group in found.groups() if group}
    return "degF" if letter in "fi" else "degC"
