"""What stands over numbers and is none: a scale told for all of them, a heading before one, hours of the day."""

from __future__ import annotations

import re
from typing import Final

from service.talk.chat.tokens import TextPiece

_SCALE_ALONE: Final = re.compile(r"(?:^|[.,;\n] ?)(c|f)(?=\s*(?:[.,;\n]|$))")
_SCALE: Final = re.compile(
    r"\((?:all |both )?(?:in )?(?:deg(?:rees)? )?°?(c|f|celsius|fahrenheit|centigrade)\)"
    r"|(?:(?:all|both|everything|readings|numbers|temps|temperatures) )+(?:are |is )?(?:all )?(?:in )?(?:degrees )?"
    r"°?(c|f|celsius|centigrade|fahrenheit)(?![\w'])"
    r"|deg(?:ree)?s? (c|f)(?![\w'])"
    r"|(?:in )?(?:degrees )?(celsius|celcius|farenheit|centigrade|fahrenheit)(?: both| all)?(?![\w'])"
    r"|(?:in |use |using )?(metric|imperial)(?: units| numbers| please)?(?![\w']| t)"
)
"""A scale that is told for all numbers at once, no number before it."""
_HEADING: Final = re.compile(r"(?:temps?|temperature|reading) ?[:=](?= ?-?\d)")
_CLOCK: Final = r"(?:\d{1,2}(?::\d\d)? ?(?:am|pm|a\.m\.|p\.m\.|o'clock)|midnight|noon|\d{1,2}:\d\d)"
_HOURS: Final = re.compile(rf"(?:from |between )?{_CLOCK} ?(?:-|to|till|til|until|and) ?{_CLOCK}")


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
        return TextPiece("DROPPED", "", place, hours.end())
    found = _HEADING.match(text, place)
    return None if found is None else TextPiece("PROBE", found[0], place, found.end())


def scale_at(text: str, place: int) -> TextPiece | None:
    """A scale named for all numbers, which says nothing by itself where it stands."""
    found = _SCALE.match(text, place) if _begins_word(text, place) else None
    return None if found is None else TextPiece("DROPPED", "", place, found.end())


def _begins_word(text: str, place: int) -> bool:
    return place == 0 or not (text[place - 1].isalnum() or text[place - 1] in "°'")


def _scale_of(found: re.Match[str]) -> str:
    (letter,) = {group[0] for group in found.groups() if group}
    return "degF" if letter in "fi" else "degC"
