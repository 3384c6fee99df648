"""What a feel or a smell is told of: "my jacket stinks", "the blankets over the heap are wet" are not of the heap."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from rules.catalogue import said
from service.talk.chat.bearing import pointers_of
from service.talk.chat.clause import Clause
from service.talk.chat.lexer import all_pieces
from service.talk.chat.lexicon import lexicon
from service.talk.chat.tokens import NUMBERS, TextPiece

_SENSED: Final = {"/moisture_feel": ("FEEL",), "/smell": ("SMELL_KIND",)}
"""Where what a hand or a nose tells goes, and the words that tell it."""
_VERB: Final = re.compile(
    r"\b(?:is|are|was|were|be|been|being|gets?|got|goes|went|feels?|felt|looks?|seems?|stays?|stinks?|stank|smells?"
    r"|reeks?|pongs?|whiffs?|drips?|has|have)\b|'s\b|'re\b"
)
_OWNED: Final = re.compile(r"\b(?:my|our|your|his|her|their|the|a|an)\s+$")
_HANDFUL: Final = frozenset(
    {
        *("stuff", "lot", "mix", "mixture", "thing", "bottom", "top", "middle", "bit", "steam", "place", "handful"),
        *("sample", "material", "centre", "center", "inside"),
    }
)
"""Strange words that stand for the heap, or for a part of it."""
_PARTING: Final = frozenset({"COMMA", "STOP", "AND", "BUT", "WITH", "SOME", *NUMBERS})
_COVERS: Final = frozenset({"COVER_KIND", "SUPPLY", "GLAZING", "TUBE", "PIPE"})
_BETWEEN: Final = frozenset({"DROPPED", "OTHER", "OVER_IT", "ON", "SMELL", "NOW", "COVER", "COVERED", "OF", "INSIDE"})
_HEAPS: Final = frozenset({"HEAP", "CORE", "MATERIAL", "INSIDE", "IN_HEAP", "OUTER", "SURFACE"})
_UNDER: Final = re.compile(
    r"\b(?:under|underneath|beneath|below|inside|behind)\s+(?:(?:my|our|the|a|an|that|this)\s+)?$"
)
_ITSELF: Final = re.compile(r"\b(?:it|its|it's|they|they're|i|we|there)\b")


def of_the_heap_alone(text: str, found: Sequence[Clause]) -> Iterator[Clause]:
    """The clauses, unread where what was felt or smelled is told of another thing."""
    for clause in found:
        told = pointers_of(clause)
        sensed = [terminal for pointer, terminals in _SENSED.items() if pointer in told for terminal in terminals]
        if told <= _SENSED.keys() | {"/pile/cover"} and any(
            _is_of_another(text, piece) for piece in clause.pieces if piece.terminal in sensed
        ):
            yield replace(clause, told=None, why=said("chat.of-the-heap"))
        else:
            yield clause


def _is_of_another(text: str, sense: TextPiece) -> bool:
    """Whether the last that is named before a sense, with a verb between, is another thing than the heap."""
    if text[sense.start : sense.end].startswith("like"):
        return False
    begins = max((text.rfind(mark, 0, sense.start) for mark in ".!?;\n"), default=-1) + 1
    verb = False
    behind = sense.start
    for piece in reversed(list(all_pieces(text[: sense.start], begins))):
        written = text[piece.start : behind]
        behind = piece.start
        verb = verb or _VERB.search(written) is not None or piece.terminal == "SMELL"
        if piece.terminal in _PARTING or _ITSELF.match(text, piece.start, piece.end):
            return False
        if piece.terminal in _COVERS:
            return verb and _UNDER.search(text, begins, piece.start) is None
        if piece.terminal == "OTHER":
            word = str(piece.value).removesuffix("'s")
            if verb and word not in _HANDFUL and _is_owned(text, piece, word):
                return True
        elif piece.terminal not in _BETWEEN:
            return False
    return False


def _is_owned(text: str, piece: TextPiece, word: str) -> bool:
    """Whether a strange word is a thing: one that is known to be another's, or somebody's."""
    return word in lexicon().things or _OWNED.search(text, 0, piece.start) is not None
