"""What pieces that fit the grammar say: fact by fact, in every way in which they can be seen."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import Final

from service.talk.chat.grammar import MOST_READINGS, trees
from service.talk.chat.meaning_change import MOVES
from service.talk.chat.meaning_feel import FEELS
from service.talk.chat.meaning_heap import HEAP
from service.talk.chat.meaning_heat import HEAT
from service.talk.chat.meaning_house import HOUSE
from service.talk.chat.meaning_lone import LONELY
from service.talk.chat.meaning_make import MAKE
from service.talk.chat.meaning_pipes import PIPES
from service.talk.chat.meaning_work import WORK
from service.talk.chat.reading import Setting, Told
from service.talk.chat.shapes import FactSpan, fits, statements_fitting
from service.talk.chat.tokens import TextPiece

STATEMENT: Final = "statement"
"""Facts, one behind the other."""
SAYS: Final = {**HEAT, **LONELY, **HEAP, **FEELS, **HOUSE, **MOVES, **WORK, **MAKE, **PIPES}


def ways(pieces: Sequence[TextPiece], start: str) -> list[tuple[FactSpan, ...]]:
    """The ways to see what `start` stands for in the pieces; a statement is facts, as few as can be."""
    names = [piece.terminal for piece in pieces]
    if start == STATEMENT:
        return statements_fitting(names)
    return [((0, len(pieces), (start,)),)] if fits(names, start) else []


def told_by(way: tuple[FactSpan, ...], pieces: Sequence[TextPiece], setting: Setting) -> Iterator[tuple[Told, ...]]:
    """What the pieces say when seen this way: one thing, or several where a fact of it may be read in several."""
    facts = [_says(tuple(pieces[begin:end]), starts, setting) for begin, end, starts in way]
    if math.prod(map(len, facts)) > MOST_READINGS:
        return
    for each in itertools.product(*facts):
        yield tuple(told for fact in each for told in fact)


def _says(pieces: tuple[TextPiece, ...], starts: Sequence[str], setting: Setting) -> list[tuple[Told, ...]]:
    """All that one fact may say."""
    found = [tuple(SAYS[str(tree.data)](tree, setting)) for start in starts for tree in trees(pieces, start)]
    return list({repr(told): told for told in found}.values())
