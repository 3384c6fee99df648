"""A sentence in its parts: between commas, between words that join, and where something new begins to be said."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import Final

from service.talk.chat.tokens import NUMBERS, TextPiece

JOINTS: Final = frozenset({"AND", "BUT", "WITH"})


def segments(pieces: tuple[TextPiece, ...]) -> Iterator[tuple[TextPiece, ...]]:
    """The pieces between commas; a joining word at the head or foot says nothing."""
    for segment in _split(pieces, frozenset({"COMMA"})):
        kept = list(segment)
        while kept and kept[0].terminal in JOINTS:
            kept.pop(0)
        while kept and kept[-1].terminal in JOINTS:
            kept.pop()
        if kept:
            yield from _in_short(tuple(kept))


_SHORT: Final = frozenset({"CORE", "TEMP", "DURATION", "OLD", "AGE", "VOLUME", "YARDS", "FEEL", "SMELL_KIND"})
_GOES_WITH: Final = {"TEMP": ("CORE",), "DURATION": ("AGE",), "OLD": ("DURATION",)}
"""What stands right behind another word of the same fact."""
_ONE_EACH: Final = (frozenset({"TEMP"}), frozenset({"DURATION"}), frozenset({"VOLUME", "YARDS"}))


def _in_short(pieces: tuple[TextPiece, ...]) -> Iterator[tuple[TextPiece, ...]]:
    """Facts that follow each other without a comma: "core 52C 60 days 12 m3". Core, age and size are all there, once,
    and nothing else that a number could be of."""
    words = [piece.terminal for piece in pieces]
    if not _SHORT.issuperset(words) or any(sum(map(words.count, kinds)) != 1 for kinds in _ONE_EACH):
        yield pieces
        return
    begins = [
        place for place, word in enumerate(words) if not place or words[place - 1] not in _GOES_WITH.get(word, ())
    ]
    yield from (pieces[start:end] for start, end in itertools.pairwise([*begins, len(pieces)]))


def _split(pieces: tuple[TextPiece, ...], marks: frozenset[str]) -> Iterator[tuple[TextPiece, ...]]:
    part: list[TextPiece] = []
    for piece in (*pieces, None):
        if piece is not None and piece.terminal not in marks:
            part.append(piece)
        elif part:
            yield tuple(part)
            part = []


_GOES_ON: Final = frozenset({"SINCE", "AFTER", "BEFORE", "BY", "SMELL", "FEEL"})
"""Behind these whoever is named begins nothing new: "3 weeks since I built it"."""


def softly(pieces: tuple[TextPiece, ...]) -> Iterator[tuple[TextPiece, ...]]:
    """The parts between words that join, and where somebody is named who does something new."""
    if len(pieces) > 1 and all(piece.terminal in NUMBERS - {"NUM", "UNSURE"} for piece in pieces):
        yield from ((piece,) for piece in pieces)
        return
    lists = sum(piece.terminal in NUMBERS for piece in pieces) < 2 or any(
        piece.terminal in ("MATERIAL", "SUPPLY", "WATERED", "ADDED") for piece in pieces
    )
    for part in _split(pieces, frozenset({"AND", "BUT"} if lists else {"AND", "BUT", "WITH"})):
        begins = [0, *(place for place in range(1, len(part)) if _begins(part, place)), len(part)]
        yield from (part[start:end] for start, end in itertools.pairwise(begins))


_READ_AT: Final = frozenset({"INSIDE", "CORE", "OUTSIDE", "OUTER", "HOUSE", "TONIGHT", "LOW"})
_NAMED_ALONE: Final = frozenset({"INSIDE", "PROBE", "CORE", "OUTER", "OUTSIDE", "HOUSE"})
_DATED: Final = frozenset({"NOW", "TODAY", "YESTERDAY", "LAST_NIGHT", "AGO"})
_TURNS_NEXT: Final = frozenset({"TURN", "DOUBT", "NO", "WISH"})
"""What turns whatever stands behind it."""


def _begins(part: tuple[TextPiece, ...], place: int) -> bool:
    """Whether something new may begin at a place: somebody is named, or a reading of another moment."""
    here, before = part[place], part[place - 1]
    if before.terminal in _TURNS_NEXT:
        return False  # "wouldn't say it's wet"
    if here.terminal in ("TEMP", "NUM") and before.terminal in _READ_AT:
        return False  # "outside it is 20 F"
    if here.fresh and before.terminal not in _GOES_ON:
        return any(piece.terminal not in _NAMED_ALONE for piece in part[:place])  # "the probe I leave in reads 118 F"
    behind = part[place + 1].terminal if place + 1 < len(part) else ""
    placed = here.terminal in _READ_AT and behind in ("TEMP", "NUM") and before.terminal in _DATED
    if placed and any(piece.terminal in ("TEMP", "NUM") for piece in part[:place]):
        return True  # "55 C yesterday outside 0 C"
    if _opens_a_then(part, place):
        return True  # "58 C yesterday it was 63"
    dated = here.terminal in ("NOW", "TODAY", "WEEKDAY", "YESTERDAY", "DAY", "LAST_NIGHT")
    in_turn = part[0].terminal in ("WEEKDAY", "DAY", "YESTERDAY") or here.terminal == "NOW"
    return (
        dated
        and in_turn
        and behind in ("TEMP", "NUM")
        and before.terminal in ("TEMP", "NUM", "WEEKDAY", "DAY", "MATERIAL", "TODAY", "YESTERDAY", "LAST_NIGHT", "AGO")
    )


def _opens_a_then(part: tuple[TextPiece, ...], place: int) -> bool:
    """Whether a moment begins here that says when it was what stands behind it, not before it."""
    names = [piece.terminal for piece in part[place : place + 4]]
    long = 2 if names[:2] in (["DURATION", "AGO"], ["LAST", "WEEKDAY"]) else 1
    moment = long == 2 or names[0] in ("YESTERDAY", "LAST_NIGHT", "DAY_BEFORE", "WEEKDAY", "DAY", "VAGUE")
    told = [piece.terminal for piece in part[:place]]
    return (
        moment
        and names[long : long + 1] == ["WAS"]
        and names[long + 1 : long + 2] in (["TEMP"], ["NUM"])
        and told[-1:] in (["TEMP"], ["NUM"])
        and "WAS" not in told
    )


def here_and_elsewhere(pieces: tuple[TextPiece, ...]) -> tuple[tuple[TextPiece, ...], tuple[TextPiece, ...]]:
    """The pieces of a sentence up to the clause that speaks of another heap or time, and from that clause on."""
    pieces = tuple(piece for place, piece in enumerate(pieces) if not _is_sick(pieces, place))
    place = next((place for place, piece in enumerate(pieces) if piece.terminal == "ELSEWHERE"), None)
    if place is None:
        return pieces, ()
    start = max((earlier + 1 for earlier in range(place) if pieces[earlier].terminal in ("COMMA", "BUT")), default=0)
    return pieces[:start], pieces[start:]


def _is_sick(pieces: tuple[TextPiece, ...], place: int) -> bool:
    """Whether no more is said than whose eyes sting: that is of here and now."""
    felt = place + 1 < len(pieces) and pieces[place + 1].terminal == "SYMPTOM"
    return pieces[place].terminal == "ELSEWHERE" and pieces[place].value in _OWNERS and felt


_OWNERS: Final = frozenset({"his", "her", "their", "your"})
