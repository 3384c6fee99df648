"""Words that mean something in a sentence that is read by its parts: stems and phrases of `concepts.toml`."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Final

from rules.language.toml import TomlTable
from service.talk.chat.tokens import NUMBERS, TextPiece

_HERE: Final = Path(__file__).parent
_SOLID: Final = frozenset({*NUMBERS, "WEEKDAY", "DAY", "MONTH", "MATERIAL", "SUPPLY", "UNTOLD"})
"""Pieces that no phrase takes anything away from."""
_LOOSE: Final = frozenset({"DROPPED", "OTHER", "TURN", "VAGUE", "ON", "OF", "RUNS", "SPAN", "HAVE", "OUT", "WITH"})
"""Pieces of which a phrase may take a part."""


def with_concepts(text: str, pieces: Sequence[TextPiece]) -> Iterator[TextPiece]:
    """The pieces of a stretch of text with what the table knows in place of words that it is told by."""
    if not pieces:
        return
    begins, ends = pieces[0].start, max(piece.end for piece in pieces)
    waiting = list(_found(text, begins, ends))
    place = 0
    while place < len(pieces):
        piece = pieces[place]
        while waiting and waiting[0].start < piece.start:
            waiting.pop(0)
        if waiting and piece.start <= waiting[0].start < piece.end:
            concept = waiting.pop(0)
            covered = [each for each in pieces[place:] if each.start < concept.end]
            if piece.start < concept.start and " " in text[piece.start : piece.end]:
                covered = []
            if covered and all(_gives_way(text, each, concept) for each in covered):
                yield concept
                place += len(covered)
                continue
        yield piece
        place += 1


def _gives_way(text: str, piece: TextPiece, concept: TextPiece) -> bool:
    """Whether a piece, all or some of which a phrase covers, is a part of it."""
    inside = concept.start <= piece.start and piece.end <= concept.end
    if piece.terminal in _SOLID:
        spelled = piece.terminal not in NUMBERS or text[piece.start : piece.end].isalpha()
        return (
            piece.terminal != "UNTOLD" and inside and concept.end - concept.start > piece.end - piece.start and spelled
        )
    return inside or piece.terminal in _LOOSE


def _found(text: str, begins: int, ends: int) -> Iterator[TextPiece]:
    pattern, meanings = _table()
    for found in pattern.finditer(text, begins, ends):
        assert found.lastgroup is not None
        terminal, value = meanings[int(found.lastgroup[1:])]
        yield TextPiece(terminal, value or found[0], found.start(), found.end())


def phrases_known() -> Iterator[str]:
    """The phrases of the table as they are written there."""
    yield from (phrase for phrase, _, _ in _rows(_read()))


@cache
def _read() -> TomlTable:
    return tomllib.loads((_HERE / "concepts.toml").read_text(encoding="utf-8"))


@cache
def _table() -> tuple[re.Pattern[str], list[tuple[str, str]]]:
    rows = sorted(_rows(_read()), key=lambda row: -len(row[0]))
    meanings = [(terminal, value) for _, terminal, value in rows]
    ways = "|".join(f"(?P<c{place}>{_pattern(phrase)})" for place, (phrase, _, _) in enumerate(rows))
    return re.compile(rf"(?<![\w'])(?:{ways})(?![\w'])"), meanings


def _rows(table: TomlTable) -> Iterator[tuple[str, str, str]]:
    for terminal, phrases in table["words"].items():
        yield from ((phrase, terminal, "") for phrase in phrases)
    for terminal, values in table["values"].items():
        for value, phrases in values.items():
            yield from ((phrase, terminal, value) for phrase in phrases)


def _pattern(phrase: str) -> str:
    """`drip*` is any word that begins so, `~` up to two small words, `(a|b)` either, `(a )?` what may be left out."""
    return phrase.replace("~ ", r"(?:[\w']+ ){0,2}").replace("*", r"\w*").replace(" ", r"[ -]")
