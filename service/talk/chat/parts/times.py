"""The moments that a part of a sentence names, as pieces in the grammar's order."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from service.talk.chat.days import days_back, moment_back, moment_on
from service.talk.chat.moments import DAYS_IN_WEEK, last_night
from service.talk.chat.parts.part import SentencePart, of_terminal
from service.talk.chat.tokens import Pieces, TextPiece
from service.units.quantities import parse_quantity

_DAYS: Final = ("YESTERDAY", "DAY_BEFORE", "LAST_NIGHT", "DAY")
_BACK: Final = ("AGO", "SINCE_BACK")


@dataclass(frozen=True, slots=True)
class NamedMoment:
    """A moment before now, in pieces."""

    pieces: Pieces


def moments_in(part: SentencePart) -> list[NamedMoment]:
    """Each moment that is named, in order."""
    found: list[NamedMoment] = []
    days = part.all(*_DAYS, "WEEKDAY", "DURATION")
    if part.bound(*days) or part.has("BEFORE", "AFTER", "NTH"):
        return []
    told = [piece for piece in part.pieces if piece.terminal != "DROPPED"]
    for place, piece in enumerate(told):
        before = told[place - 1] if place else None
        behind = told[place + 1] if place + 1 < len(told) else None
        at_an_hour = piece.terminal == "TODAY" and (part.has("NOW") or isinstance(piece.value, float))
        if piece.terminal in _DAYS or at_an_hour:
            found.append(NamedMoment((piece,)))
        elif piece.terminal == "WEEKDAY":
            led = next((each for each in (before, behind) if each is not None and each.terminal == "LAST"), None)
            found.append(NamedMoment((piece,) if led is None else (led, piece)))
        elif piece.terminal == "DURATION" and _is_back(before, behind):
            ago = behind if behind is not None and behind.terminal == "AGO" else of_terminal("AGO", "ago", piece)
            found.append(NamedMoment((piece, ago)))
    return found


def moment_of(pieces: Pieces, now: datetime) -> datetime | None:
    """When a moment was; None where that is not sure."""
    first = pieces[0]
    match first.terminal:
        case "YESTERDAY":
            return moment_back(1, now)
        case "DAY_BEFORE":
            return moment_back(2, now)
        case "LAST_NIGHT":
            return last_night(now)
        case "DURATION":
            return moment_back(parse_quantity(str(first.value), ("duration",), "metric").si, now)
        case "DAY":
            day = first.value.last_before(now.date())
            return None if day is None else moment_on(day, now)
        case "WEEKDAY" | "LAST":
            back = days_back(int(pieces[-1].value), now)
            return moment_back(back, now) if back < DAYS_IN_WEEK or first.terminal == "LAST" else None
    return None


def _is_back(before: TextPiece | None, behind: TextPiece | None) -> bool:
    """Whether a span of time is one back from now: "3 days ago", "in the last week"."""
    return behind is not None and behind.terminal in _BACK
