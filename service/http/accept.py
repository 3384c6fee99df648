"""Which of the media types on offer a caller wants, by the Accept header (RFC 9110, 12.4 and 12.5.1)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fastapi import Request

from service.problems.problem import Problem, cut

_TOKEN: Final = r"[!#$%&'*+.^_`|~0-9A-Za-z-]+"
_RANGE: Final = re.compile(rf"({_TOKEN})/({_TOKEN})")
_WEIGHT: Final = re.compile(r"0(?:\.[0-9]{0,3})?|1(?:\.0{0,3})?")
MOST_RANGES: Final = 50


@dataclass(frozen=True, slots=True)
class _Range:
    """A media range and its weight; `precision` is 0 for anything, 1 for a whole type, 2 for one."""

    kind: str
    precision: int
    weight: float

    def covers(self, media_type: str) -> bool:
        if self.precision == 0:
            return True
        whole, one = media_type.partition("/")[0] + "/*", media_type
        return self.kind == (whole if self.precision == 1 else one)


def best_media_type(request: Request, offered: Sequence[str]) -> str:
    """The media type of `offered` that is wanted most; the earlier where two are wanted alike.

    Raises
    ------
    Problem
        If the caller takes none of them.
    """
    header = ", ".join(request.headers.getlist("accept"))
    if not header.strip(" ,\t"):
        return offered[0]
    ranges = [found for part in header.split(",")[:MOST_RANGES] if (found := _read(part)) is not None]
    best = max(offered, key=lambda media_type: _wanted(media_type, ranges))
    if _wanted(best, ranges) <= 0:
        detail = f"This address gives {', '.join(offered[:-1])} and {offered[-1]}, not {cut(header)}."
        raise Problem("not-acceptable", detail)
    return best


def _wanted(media_type: str, ranges: Sequence[_Range]) -> float:
    """Weight of the most precise range that covers a media type; 0 where none does."""
    covering = [each for each in ranges if each.covers(media_type)]
    return max(covering, key=lambda each: (each.precision, each.weight)).weight if covering else 0.0


def _read(part: str) -> _Range | None:
    """One media range with its weight; None where it is not well formed. Other parameters are let pass."""
    name, *parameters = (piece.strip().lower() for piece in part.split(";"))
    found = _RANGE.fullmatch(name)
    if found is None or (found[1] == "*" and found[2] != "*"):
        return None
    weight = next((each[2:].strip() for each in parameters if each.replace(" ", "").startswith("q=")), "1")
    if _WEIGHT.fullmatch(weight) is None:
        return None
    return _Range(name, 2 - (found[1] == "*") - (found[2] == "*"), float(weight))
