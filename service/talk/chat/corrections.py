"""Numbers that a person takes back in the same breath: "core 121 F, sorry, 112 F", "112 F, not 121 F"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from service.talk.chat.tokens import NUMBERS, TextPiece, WrittenNumber

WORDS: Final = frozenset(
    {
        *(
            "actually",
            "sorry",
            "i mean",
            "i meant",
            "correction",
            "make that",
            "no wait",
            "scratch that",
            "oops",
            "typo",
        ),
        *("meant", "no sorry", "wait", "wait no", "rather"),
    }
)
"""Words that take back what was said right before."""
_NOT: Final = "not"
_MEANT: Final = "i meant"
_TURNS_OVER: Final = ("BUT", "DOUBT", "COMMA")


def is_correction(piece: TextPiece) -> bool:
    """Whether a piece is a word that takes back what was said before."""
    return piece.terminal == "DOUBT" and piece.value in WORDS


def put_right(before: Sequence[TextPiece], pieces: Sequence[TextPiece]) -> tuple[TextPiece, ...] | None:
    """The clause before with its only number changed for the one that corrects it; None where that is not what is said.

    Nothing but words that take back may stand before the new number, and nothing behind it: else it may be of
    something else.
    """
    words, number = pieces[:-1], pieces[-1]
    if not words or not all(map(is_correction, words)) or number.terminal not in NUMBERS:
        return None
    places = [place for place, piece in enumerate(before) if piece.terminal in NUMBERS]
    if len(places) != 1:
        return None
    old = before[places[0]]
    new = _in_place_of(old, number)
    return None if new is None else (*before[: places[0]], new, *before[places[0] + 1 :])


def _in_place_of(old: TextPiece, new: TextPiece) -> TextPiece | None:
    """The new number, in the unit of the old where it has none of its own; None where they are of two kinds."""
    if new.terminal == old.terminal and new.terminal != "UNSURE":
        return new
    if old.terminal == "NUM" and new.terminal == "TEMP":
        return new
    if new.terminal == "NUM" and isinstance(old.value, WrittenNumber) and isinstance(new.value, WrittenNumber):
        return replace(new, terminal=old.terminal, value=WrittenNumber(new.value.value, old.value.unit))
    return None


def takes_back(pieces: Sequence[TextPiece]) -> bool:
    """Whether a clause does nothing else than take back what was said: "sorry", "no"."""
    return all(map(is_correction, pieces)) or (len(pieces) == 1 and pieces[0].terminal == "NO")


def without_denied(pieces: tuple[TextPiece, ...]) -> tuple[TextPiece, ...]:
    """The pieces without a number that is taken back right beside the one that counts.

    "112 F not 121 F", "not 121 F, 112 F" and "121 F sorry 112 F" all say 112 F.
    """
    for place in range(len(pieces) - 2):
        first, word, last = pieces[place : place + 3]
        if _alike(first, last) and word.terminal == "DOUBT" and word.value == _NOT:
            return (*pieces[: place + 1], *pieces[place + 3 :])
        if _alike(first, last) and is_correction(word):
            return (*pieces[:place], *pieces[place + 2 :])
        behind = pieces[place + 3] if place + 3 < len(pieces) else None
        denied = first.terminal == "DOUBT" and first.value == _NOT and last.terminal == "COMMA"
        if denied and behind is not None and _alike(word, behind):
            return (*pieces[:place], *pieces[place + 3 :])
    return _without_last_denied(pieces)


def _without_last_denied(pieces: tuple[TextPiece, ...]) -> tuple[TextPiece, ...]:
    """The pieces without a number that is denied behind the one that counts: "45 days old, not 54"."""
    told = pieces[:-1] if pieces and pieces[-1].terminal == "COMMA" else pieces
    if len(told) < _SHORTEST_DENIAL or told[-2].terminal != "DOUBT" or told[-2].value != _NOT:
        return pieces
    denied, before = told[-1], [piece for piece in told[:-2] if piece.terminal in NUMBERS]
    counts = len(before) == 1 and before[0].terminal != "UNSURE" and not any(p.terminal == "DOUBT" for p in told[:-2])
    alike = counts and (denied.terminal == before[0].terminal or denied.terminal == "NUM")
    if not alike:
        return pieces
    kept = told[:-2]
    return kept[:-1] if kept[-1].terminal == "COMMA" else kept


_SHORTEST_DENIAL: Final = 4
"""Pieces of "45 days old not 54"."""


def said_before(pieces: tuple[TextPiece, ...]) -> tuple[TextPiece, ...]:
    """The pieces with the number that counts in place of the one said: "I said 45 F outside but it is 54"."""
    said = next((place for place, piece in enumerate(pieces) if piece.terminal == "SAID"), None)
    if said is None:
        return pieces
    places = [place for place in range(said, len(pieces)) if pieces[place].terminal in NUMBERS]
    behind = pieces[places[1] + 1 :] if len(places) > 1 else ()
    if len(places) != 2 or any(piece.terminal != "NOW" for piece in behind):
        return pieces
    between = pieces[places[0] + 1 : places[1]]
    joint = next((place for place, piece in enumerate(between) if piece.terminal in _TURNS_OVER), None)
    new = _in_place_of(pieces[places[0]], pieces[places[1]])
    if joint is None or new is None or any(piece.terminal not in _TURNS_OVER for piece in between[joint:]):
        return pieces
    correction = replace(pieces[said], terminal="DOUBT", value=_MEANT)
    return (correction, *pieces[said + 1 : places[0]], new, *between[:joint])


def _alike(one: TextPiece, other: TextPiece) -> bool:
    """Whether two pieces are numbers of one kind that says what they are of."""
    return one.terminal == other.terminal and one.terminal in NUMBERS - {"UNSURE"}


_DENIALS: Final = frozenset({"not", "isn't", "isnt", "wasn't", "doesn't", "does not", "don't", "no longer"})
_DENIED: Final = frozenset({"SIGN", "SMELL", "SYMPTOM", "COVERED", "RUNS"})
_DRAWN: Final = frozenset({"FAN", "PUMP"})


def as_denial(pieces: tuple[TextPiece, ...]) -> tuple[TextPiece, ...] | None:
    """The pieces with the word that denies written as "no", and "or" behind it as "and"; None where there is none."""
    one_smell = any(piece.terminal == "SMELL_KIND" for piece in pieces)
    for place in range(len(pieces) - 1):
        here, behind = pieces[place : place + 2]
        if one_smell and behind.terminal == "SMELL":
            continue  # that it does not smell of one thing leaves all the others
        if here.terminal == "DOUBT" and here.value in _DENIALS and behind.terminal in _DENIED:
            return (*pieces[:place], replace(here, terminal="NO"), *pieces[place + 1 :])
        if place and here.terminal == "DOUBT" and here.value == "or" and _both_denied(pieces, place):
            return (*pieces[:place], replace(here, terminal="AND"), *pieces[place + 1 :])
    return None


def _both_denied(pieces: Sequence[TextPiece], place: int) -> bool:
    """Whether "or" stands between fan and pump, of which there is none."""
    between = pieces[place - 1].terminal in _DRAWN and pieces[place + 1].terminal in _DRAWN
    return between and any(piece.terminal == "NO" for piece in pieces[:place])
