"""When each number of a part was read: now, at a moment, or at a time that is not told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from service.talk.chat.parts.part import SentencePart
from service.talk.chat.parts.places import places_in
from service.talk.chat.parts.times import NamedMoment
from service.talk.chat.tokens import TextPiece

_PAST: Final = frozenset({"WAS", "FROM"})


@dataclass(slots=True)
class Time:
    """When a number was read."""

    moment: NamedMoment | None = None
    past: bool = False
    now: bool = False


def times_of(part: SentencePart, numbers: list[TextPiece], moments: Sequence[NamedMoment]) -> dict[int, Time]:
    """The time of each number; empty where it is not clear which is of when."""
    times = {id(number): Time() for number in numbers}
    for piece in part.all(*_PAST):
        behind = [number for number in numbers if number.start > piece.start]
        if piece.terminal == "FROM" and part.next_told(piece) not in numbers:
            continue
        if behind:
            times[id(behind[0])].past = True
    for piece in part.all("NOW", "FELL_TO", "TO"):
        number = _nearest(part, piece, numbers, forward=piece.terminal != "NOW")
        if number is None:
            return {}
        times[id(number)].now = True
    for moment in moments:
        free = [number for number in numbers if times[id(number)].moment is None and not times[id(number)].now]
        if not free:
            return {}
        number = _nearest_to(moment, free)
        if number is None:
            return {}
        times[id(number)].moment = moment
    untold = [time for time in times.values() if time.moment is None and not time.past]
    if len(untold) > 1 or any(time.past and time.now for time in times.values()):
        return {} if len(numbers) > 1 and len({id(n) for n in numbers}) > 1 and not _of_places(part, numbers) else times
    return times


def _of_places(part: SentencePart, numbers: list[TextPiece]) -> bool:
    """Whether each number has a place of its own."""
    return len(places_in(part)) == len(numbers)


def _nearest(part: SentencePart, piece: TextPiece, numbers: list[TextPiece], *, forward: bool) -> TextPiece | None:
    if forward:
        return next((number for number in numbers if number.start > piece.start), None)
    before = [number for number in numbers if number.start < piece.start]
    behind = [number for number in numbers if number.start > piece.start]
    if not before or not behind:
        return next(iter(before[-1:] or behind[:1]), None)
    apart = piece.start - before[-1].end, behind[0].start - piece.end
    return before[-1] if apart[0] <= apart[1] else behind[0]


def _nearest_to(moment: NamedMoment, numbers: list[TextPiece]) -> TextPiece | None:
    start, end = moment.pieces[0].start, moment.pieces[-1].end

    def apart(number: TextPiece) -> int:
        return start - number.end if number.end <= start else number.start - end

    ordered = sorted(numbers, key=apart)
    if len(ordered) > 1 and apart(ordered[0]) == apart(ordered[1]):
        return None
    return ordered[0]
