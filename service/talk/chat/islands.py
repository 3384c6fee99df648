"""What is clear in a clause that cannot be read whole: a sign, a smell, what people feel, whatever stands beside it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from service.talk.chat.clause import Clause, ReadClause
from service.talk.chat.lexicon import lexicon
from service.talk.chat.tokens import NAMES, NUMBERS, TextPiece

_CLEAR: Final = frozenset({"SIGN", "SYMPTOM", "WIND", "RAIN", "NO_COVER"})
"""Words that say one thing by themselves, so that a strange word beside them makes them nothing else."""
_TURNING: Final = frozenset(
    {"DOUBT", "TURN", "VAGUE", "WISH", "ELSEWHERE", "ASKS", "ASKS_HERE", "WAS", "FELL", "UNTIL", "KEEP", "TARGET"}
)
"""Words that turn the meaning of all that stands with them."""
_OF_ANOTHER_TIME: Final = frozenset({"WAS", "FELL", "UNTIL", "KEEP", "TARGET"})
"""Of these, those that may put it at another time: somebody who felt sick is asked about, whenever it was."""
_PLACES: Final = frozenset({"FROM", "OUTSIDE"})
_NEAR: Final = frozenset({"near", "by", "behind", "next", "beside", "for", "per", "next to", "under", "below"})
"""Words behind a sign that may say that it is elsewhere."""
WORN: Final = frozenset({"cracks"})
"""Signs that hands, walls and pots have too."""
OF_THINGS: Final = frozenset({*WORN, "steam"})
"""Signs that are of another thing where it stands right before them."""
_IDLE: Final = frozenset({"OTHER", "AND", "BUT", "WITH", "HEAP", "ON", "OF", "IN_HEAP", "HAVE", "NOW", "PER", "COMMA"})
"""What needs not be named where it stands unread beside what was read."""


def islands(pieces: tuple[TextPiece, ...], read: ReadClause, unread: ReadClause) -> list[Clause]:
    """What can be read by itself in a clause, and what of the rest tells something; empty where there is nothing.

    A number is no island: a strange word beside it may say what it is of.
    """
    turning = {piece.terminal for piece in pieces} & _TURNING
    if not turning <= _OF_ANOTHER_TIME:
        return []
    clauses: list[Clause] = []
    rest: list[TextPiece] = []
    place = 0
    while place < len(pieces):
        end = _island(pieces, place) if not turning or pieces[place].terminal == "SYMPTOM" else 0
        clause = read(pieces[place:end]) if end else None
        if clause is not None and clause.told is not None:
            clauses += _told_by(rest, unread)
            clauses.append(clause)
            rest, place = [], end
            continue
        if pieces[place].terminal == "NO":
            return []
        rest.append(pieces[place])
        place += 1
    return [*clauses, *_told_by(rest, unread)] if any(clause.told is not None for clause in clauses) else []


def _told_by(rest: Sequence[TextPiece], unread: ReadClause) -> Iterator[Clause]:
    if any(piece.terminal not in _IDLE for piece in rest):
        yield unread(tuple(rest))


def _island(pieces: Sequence[TextPiece], place: int) -> int:
    """Where the island that begins here ends; 0 where there is none."""
    here = pieces[place].terminal
    if here == "NO" and _terminal(pieces, place + 1) in ("SIGN", "SYMPTOM"):
        return place + 2
    if here == "SMELL":
        end = place + 1 + (_terminal(pieces, place + 1) == "OF")
        return end + 1 if _terminal(pieces, end) == "SMELL_KIND" else 0
    if here == "SMELL_KIND" and _terminal(pieces, place + 1) == "SMELL":
        return place + 2
    owned = here == "NO_COVER" and any(piece.terminal == "HAVE" for piece in pieces)
    if (
        here not in _CLEAR
        or pieces[place].value == "open"
        or owned
        or is_snow(pieces[place])
        or (place and _denies_it(pieces[place - 1]))
    ):
        return 0
    if place and pieces[place].value in OF_THINGS and _is_thing(pieces[place - 1]):
        return 0  # "my glasses steam"
    if here == "RAIN" and place and pieces[place - 1].terminal == "OTHER" and not pieces[place].fresh:
        return 0  # "condensation pouring down"
    behind = pieces[place + 1] if place + 1 < len(pieces) else None
    if behind is not None and rests(pieces[place], behind):
        return 0
    elsewhere = behind is not None and (behind.terminal in _PLACES or str(behind.value) in _NEAR)
    return 0 if elsewhere else place + 1


def _terminal(pieces: Sequence[TextPiece], place: int) -> str:
    return pieces[place].terminal if place < len(pieces) else ""


def rests(sign: TextPiece, behind: TextPiece) -> bool:
    """Whether a fan or pump is told to stand still at times: "the pump doesn't run at night" is no fault."""
    machine = sign.terminal == "SIGN" and str(sign.value).startswith(("no_flow", "fan_"))
    return machine and behind.terminal in ("NIGHTS", "DAYTIME")


def _is_thing(piece: TextPiece) -> bool:
    return piece.terminal == "OTHER" and str(piece.value).removesuffix("'s") in lexicon().things


def is_snow(piece: TextPiece) -> bool:
    """Whether a piece is the bare word: snow lies on the heap only where nothing else is said of it."""
    return piece.terminal == "SIGN" and piece.end - piece.start == len("snow") and piece.value == "snow_covered"


def _denies_it(piece: TextPiece) -> bool:
    """Whether a number is a nought, or nothing does it: "0 rats" are none, "nothing steams"."""
    return piece.terminal == "NOTHING" or (piece.terminal == "NUM" and getattr(piece.value, "value", None) == 0)


_TURNED: Final = frozenset({"DOUBT", "TURN", "WISH", "ELSEWHERE", "ASKS", "ASKS_HERE"})
"""Words that turn the meaning of what stands before them too."""


def heads(pieces: tuple[TextPiece, ...]) -> Iterator[tuple[tuple[TextPiece, ...], tuple[TextPiece, ...]]]:
    """Ways to part a clause before a word that names what the numbers behind it are of, the longest head first.

    What is behind it then cannot bear on the head, as long as no word there turns the meaning.
    """
    numbered = False
    for place in range(len(pieces) - 1, 1, -1):
        here = pieces[place].terminal
        if here in _TURNED:
            return  # and so is each longer rest
        numbered = numbered or here in NUMBERS
        if numbered and here in NAMES and pieces[place - 1].terminal not in NAMES:
            yield pieces[:place], pieces[place:]
