"""Questions within a sentence: what stands before and behind them is a report, they are none."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from service.talk.chat.tokens import NAMES, NUMBERS, Sentence, TextPiece

_JOINTS: Final = ("COMMA", "AND", "BUT")
_HEATS: Final = ("TEMP", "NUM")
_SUPPOSED: Final = frozenset({"WISH", "ELSEWHERE"})
"""Words of a question about what is not so: nothing in it is a report."""

_ASKED_OF: Final = {
    **dict.fromkeys(("MOISTURE", "FEEL"), "/moisture_feel"),
    **dict.fromkeys(("SMELL", "SMELL_KIND"), "/smell"),
    **dict.fromkeys(("AGE", "OLD", "BUILT"), "/pile/age"),
    **dict.fromkeys(("SIZE", "WIDE", "HIGH", "LONG"), "/pile/size"),
    **dict.fromkeys(("TONIGHT", "LOW"), "/weather/low"),
    "CORE": "/temperatures/core",
    "OUTER": "/temperatures/outer",
    "OUTSIDE": "/temperatures/outdoor",
    "SIGNS": "/signs",
    "MADE_OF": "/pile/ingredients",
    "COVER": "/pile/cover",
    "HUMIDITY": "/greenhouse/humidity",
    "GLAZED": "/greenhouse/glazing",
}
"""The field that is asked for where one of these words names it."""


def without_question(sentence: Sentence) -> tuple[tuple[TextPiece, ...], tuple[TextPiece, ...]]:
    """The pieces that report, and those of the question; a sentence may ask without a mark.

    A question ends at the comma behind which a reading is told that says itself what it is of.
    """
    pieces = sentence.pieces
    pieces = tuple(
        replace(piece, terminal="OTHER") if piece.terminal == "ASKS" and not _begins_question(pieces, place) else piece
        for place, piece in enumerate(pieces)
    )
    pieces = _without_asking(pieces)
    begins = next((place for place in range(len(pieces)) if _begins_question(pieces, place)), None)
    if begins is None:
        return _before_the_last_word(pieces) if sentence.asked else (pieces, ())
    asked = pieces[begins:]
    ends = None if any(piece.terminal in _SUPPOSED for piece in asked) else _ends(asked, sentence)
    if ends is None:
        return pieces[:begins], asked
    return (*pieces[:begins], *asked[ends:]), asked[:ends]


def _before_the_last_word(
    pieces: tuple[TextPiece, ...],
) -> tuple[tuple[TextPiece, ...], tuple[TextPiece, ...]]:
    """What is reported ahead of "..., all well?", and that. All is a question where its end holds a number.

    A single thing with a mark behind it may be a thought, and so may a list without a reading ("4 yards of manure, good
    idea?"): they are no report.
    """
    commas = [place for place, piece in enumerate(pieces) if piece.terminal == "COMMA"]
    last = commas[-1] if commas else 0
    told, asked = pieces[:last], pieces[last + 1 :]
    named = any(piece.terminal in NAMES for piece in told)
    listed = named or (len(commas) > 1 and any(piece.terminal == "TEMP" for piece in told))
    numbers = [any(piece.terminal in NUMBERS for piece in part) for part in (told, asked)]
    return (told, asked) if listed and numbers == [True, False] else ((), pieces)


def _begins_question(pieces: Sequence[TextPiece], place: int) -> bool:
    """Whether a question begins here: at the head of the sentence, behind a comma or an "and", or by words that ask."""
    if pieces[place].terminal == "ASKS_HERE":
        return True
    if pieces[place].fresh and pieces[place].value in ("can", "will"):
        return False  # "I will need warmth"
    behind = pieces[place + 1] if place + 1 < len(pieces) else None
    if pieces[place].value in ("when", "where") and behind is not None and behind.fresh:
        return False  # "when I push it in"
    return pieces[place].terminal == "ASKS" and (place == 0 or pieces[place - 1].terminal in _JOINTS)


def _ends(asked: Sequence[TextPiece], sentence: Sentence) -> int | None:
    """Where a question gives way to a report; before its mark only one with a number and what that is of."""
    first = next((place for place, piece in enumerate(asked[:-1]) if piece.terminal == "COMMA"), None)
    went_on = next((place for place in range(_SHORTEST, len(asked) - 1) if _reports(asked, place)), None)
    if went_on is not None and not sentence.marked and (first is None or went_on < first):
        return went_on
    if first is None or not sentence.asked:
        return first
    rest = asked[first + 1 :]  # what is not told behind the first comma is behind no later one
    told = any(each.terminal in NUMBERS for each in rest) and any(each.terminal in NAMES for each in rest)
    return first if told else None


_SHORTEST: Final = 2
"""Pieces of the shortest question that a report follows without a mark (our own)."""


def _reports(pieces: Sequence[TextPiece], place: int) -> bool:
    """Whether a report begins here: "it was 150", "it's 98 F"."""
    here, behind = pieces[place], pieces[place + 1]
    return (here.terminal == "WAS" and behind.terminal in _HEATS) or (here.fresh and here.terminal == "TEMP")


def is_untold(pieces: Sequence[TextPiece]) -> bool:
    """Whether a clause says no more than that something is not known: "no idea what the air is", "moisture no idea"."""
    if any(piece.terminal in NUMBERS for piece in pieces):
        return False
    names = {piece.terminal for piece in pieces[:-1]}
    return pieces[0].terminal == "UNTOLD" or (pieces[-1].terminal == "UNTOLD" and names <= set(_ASKED_OF) | {"HEAP"})


def fields_untold(pieces: Sequence[TextPiece]) -> Iterator[str]:
    """The fields of which a clause says that nobody knows."""
    if is_untold(pieces):
        yield from dict.fromkeys(_ASKED_OF[piece.terminal] for piece in pieces if piece.terminal in _ASKED_OF)


def _without_asking(pieces: tuple[TextPiece, ...]) -> tuple[TextPiece, ...]:
    """The pieces with a word that asks taken as any other right behind "no idea": nothing is asked there."""
    before = (None, *pieces[:-1]) if pieces else ()
    return tuple(
        replace(piece, terminal="OTHER")
        if piece.terminal in ("ASKS", "ASKS_HERE") and earlier is not None and earlier.terminal == "UNTOLD"
        else piece
        for piece, earlier in zip(pieces, before, strict=True)
    )
