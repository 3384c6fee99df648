"""Numbers as they are written or spelled out; what could be read in two ways is no number."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

_UNITS: Final = (
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)
_TEENS: Final = ("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
_BY_TEN: Final = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_SMALL: Final = {word: number for number, word in enumerate((*_UNITS, *_TEENS))}
_TENS: Final = {word: 10 * number for number, word in enumerate(_BY_TEN, start=2)}
NUMBER_WORDS: Final = frozenset({*_SMALL, *_TENS, "hundred", "half", "quarter", "third"})
"""Words of numbers, which are never mended."""
_PLAIN: Final = re.compile(r"[0-9]{1,7}(\.[0-9]{1,4})?")
_COMMA: Final = re.compile(r"[0-9]{1,3},[0-9]|0,[0-9]{1,3}")
_ROUND_THOUSANDS: Final = re.compile(r"[1-9][0-9]{0,2},[0-9]00")
"""Nobody writes three digits behind a decimal comma of which two are noughts."""
_THOUSANDS: Final = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3}")


def written_number(digits: str) -> float | None:
    """The number of digits with at most one point or decimal comma; None where it could be two things.

    `1,234`, `1.200` and `121,95` could each be one number or another, or two: they are not read.
    """
    if _ROUND_THOUSANDS.fullmatch(digits):
        return float(digits.replace(",", ""))
    if _COMMA.fullmatch(digits):
        return float(digits.replace(",", "."))
    if _PLAIN.fullmatch(digits) and not _THOUSANDS.fullmatch(digits):
        return float(digits)
    return None


def spelled_number(words: Sequence[str]) -> tuple[float, int] | None:
    """A number below 1000 at the head of `words`, with how many of them it takes."""
    dozens = _dozens(words)
    if dozens is not None:
        return dozens
    hundreds, taken = _hundreds(words)
    rest = words[taken + 1 :] if taken and words[taken : taken + 1] == ["and"] else words[taken:]
    skipped = len(words) - taken - len(rest)
    below = _below_hundred(rest)
    if below is not None:
        return hundreds + below[0], taken + skipped + below[1]
    return (float(hundreds), taken) if taken else None


def _dozens(words: Sequence[str]) -> tuple[float, int] | None:
    """`a dozen`, `two dozen`, `half a dozen`."""
    if words[:3] == ["half", "a", "dozen"]:
        return 6.0, 3
    count = 1 if words[:1] in (["a"], ["one"]) else _SMALL.get(words[0], 0) if words else 0
    return (12.0 * count, 2) if count and words[1:2] == ["dozen"] else None


def _hundreds(words: Sequence[str]) -> tuple[int, int]:
    if words[:2] == ["hundred", "and"]:
        return 100, 1
    if len(words) > 1 and words[1] == "hundred" and (words[0] in ("a", "one") or 1 < _SMALL.get(words[0], 0) < 10):
        return 100 * _SMALL.get(words[0], 1), 2
    return 0, 0


def _below_hundred(words: Sequence[str]) -> tuple[float, int] | None:
    if not words:
        return None
    tens = _TENS.get(words[0])
    if tens is not None:
        unit = _SMALL.get(words[1], 0) if len(words) > 1 else 0
        return (float(tens + unit), 2) if 0 < unit < 10 else (float(tens), 1)
    small = _SMALL.get(words[0])
    return None if small is None else (float(small), 1)
