"""Numbers that come together: three measures in one breath, and ratios."""

from __future__ import annotations

import re
from typing import Final

from service.talk.chat.lexicon import lexicon
from service.talk.chat.numbers import spelled_number, written_number
from service.talk.chat.tokens import Number, Piece

_ONE: Final = (
    r"(\d{1,3}(?:\.\d{1,2})?|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|twenty|thirty)"
)
_LENGTH: Final = r"(?: ?(feet|foot|ft|metres|meters|metre|meter|m|yards|yard|yd|yds|inches|inch|cm|'))?"
_TIMES: Final = r" ?(?:x|by|\*|\N{MULTIPLICATION SIGN}) ?"
_MEASURES: Final = re.compile(rf"{_ONE}{_LENGTH}{_TIMES}{_ONE}{_LENGTH}{_TIMES}{_ONE}{_LENGTH}(?![\w'.])")
_TWO_MEASURES: Final = re.compile(rf"{_ONE}{_LENGTH}{_TIMES}{_ONE}{_LENGTH}(?![\w'.])")
_RATIO: Final = re.compile(rf"{_ONE}(?: ?: ?| ?/ ?| to | parts? to ){_ONE}(?: parts?)?(?![\w.,:/°%-]| ?[cf°]\b| deg)")
MOST_PARTS: Final = 100.0


def measures_at(text: str, place: int) -> Piece | None:
    """Length, width and height such as `6 by 6 by 5 feet`; the last unit counts for those that have none."""
    found = _MEASURES.match(text, place)
    if found is None or (place and text[place - 1].isalnum()):
        return None
    units = [found[2], found[4], found[6]]
    if units[2] is None:
        return Piece("UNSURE", "LENGTH", place, found.end())
    numbers = [_number(found[1]), _number(found[3]), _number(found[5])]
    lengths = tuple(
        Number(number, lexicon().units[unit or units[2]].name) for number, unit in zip(numbers, units, strict=True)
    )
    return Piece("MEASURES", lengths, place, found.end())


def two_measures_at(text: str, place: int) -> Piece | None:
    """Length and width such as `10 by 12 feet`; without a unit it may be anything and is left."""
    found = _TWO_MEASURES.match(text, place)
    if found is None or found[4] is None or (place and text[place - 1].isalnum()):
        return None
    units = [found[2] or found[4], found[4]]
    numbers = [_number(found[1]), _number(found[3])]
    lengths = tuple(Number(number, lexicon().units[unit].name) for number, unit in zip(numbers, units, strict=True))
    return Piece("TWO_MEASURES", lengths, place, found.end())


def ratio_at(text: str, place: int) -> Piece | None:
    """`3:1`, `70/30`, `three to one`: small whole parts, so that no clock time and no reading is taken for it."""
    found = _RATIO.match(text, place)
    if found is None or (place and text[place - 1] in "0123456789.,:/-"):
        return None
    first, second = _number(found[1]), _number(found[2])
    small = max(first, second) <= MOST_PARTS / 10 or first + second == MOST_PARTS
    if not small or min(first, second) <= 0 or first % 1 or second % 1:
        return None
    return Piece("RATIO", (first, second), place, found.end())


def _number(written: str) -> float:
    if written[0].isdigit():
        return written_number(written) or 0.0
    spelled = spelled_number([written])
    return spelled[0] if spelled else 0.0
