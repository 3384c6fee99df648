"""Signs that are told in many words: a thing and what became of it, in one clause that denies nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Final

from rules.language.vocabulary import SIGNS
from rules.tables.alarm_words import speaks_of
from service.talk.chat.islands import rests
from service.talk.chat.tokens import TextPiece

APART: Final = 45
"""Letters that may stand between the two (our own)."""
_TURNED: Final = frozenset({"NO", "DOUBT", "TURN", "WISH", "ELSEWHERE", "ASKS", "ASKS_HERE", "WAS"})
_PARTED: Final = r"(?:(?!\b(?:and|but|not|no|never|isn't|aren't|wasn't|hasn't|haven't|ok|fine|un\w+)\b)[^.,;!?\n])"


def signs_in(text: str, pieces: Sequence[TextPiece]) -> Iterator[TextPiece]:
    """The signs that a clause of `text` tells in its own words, as pieces that stand where the words do."""
    start, end = pieces[0].start, max(piece.end for piece in pieces)
    for sign, pattern in _patterns():
        found = pattern.search(text, start, end)
        other = SIGNS[sign].unless
        if found is None or (other and speaks_of(other, text)):
            continue
        sign_piece = TextPiece("SIGN", sign, found.start(), found.end())
        behind = next((piece for piece in pieces if piece.start >= found.end()), None)
        if behind is not None and rests(sign_piece, behind):
            continue
        around = [piece for piece in pieces if piece.terminal in _TURNED and piece.end <= found.start()]
        inside = [piece for piece in pieces if piece.terminal in _TURNED - {"NO"} and piece.start < found.end()]
        if not around and not [piece for piece in inside if piece.start >= found.start() and _turns(piece)]:
            yield sign_piece


def _turns(piece: TextPiece) -> bool:
    """Whether a word turns what is said, and is not itself what became of the thing."""
    return piece.terminal in ("WISH", "ELSEWHERE", "ASKS_HERE", "WAS")


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple((word.id, _pattern(*word.together)) for word in SIGNS.values() if word.together)


def _pattern(things: Sequence[str], became: Sequence[str]) -> re.Pattern[str]:
    first, second = (_either(phrases) for phrases in (things, became))
    between = f"{_PARTED}{{0,{APART}}}?"
    return re.compile(f"{first}{between}{second}|{second}{between}{first}")


def _either(phrases: Sequence[str]) -> str:
    listed = sorted(phrases, key=len, reverse=True)
    return rf"(?<![\w'])(?:{'|'.join(map(re.escape, listed))})(?:'s)?(?![\w'])"
