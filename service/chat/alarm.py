"""Whether a message speaks of fire. Deliberately credulous: what it brings is conditional where fire is not certain."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from rules.thresholds import FIRE_LOOK_DAILY
from service.answer.words import FIRE_SENTENCE
from service.chat.lexer import plain, sentences
from service.chat.reading import Reading
from service.chat.tokens import Piece
from service.fire import WARNING
from service.units import System

_WORDS: Final = re.compile(
    r"smok|burn|smou?lder|flame|\bfires?\b|\bember|scorch|ablaze|alight|char(?:red|ring)\b|glow"
    r"|\N{FIRE}|\N{FIRE ENGINE}"
)
_DIGITS: Final = re.compile(r"\d+(?:[.,]\d+)?")
_HEAP_WORDS: Final = frozenset({"CORE", "OUTER", "HEAP", "PROBE", "INSIDE"})


def alarm(text: str, understood: Iterable[Reading], system: System | None) -> str | None:
    """The sentence to put first: to keep clear where fire was reported, the same with an if where it may have been."""
    for reading in understood:
        if (reading.pointer, reading.value) in (("/signs/-", "smoke"), ("/smell", "burnt")):
            return FIRE_SENTENCE
    words = plain(text)
    if _WORDS.search(words) or _is_hot(words, system):
        return WARNING
    return None


def _is_hot(text: str, system: System | None) -> bool:
    """Whether a number can be read as a heap at 70 degC or more, read or not."""
    for sentence in sentences(text):
        heap = any(piece.terminal in _HEAP_WORDS for piece in sentence.pieces)
        scales = {piece.value.unit for piece in sentence.pieces if piece.terminal == "TEMP"}
        fahrenheit = system == "us" or "degF" in scales
        for piece in sentence.pieces:
            if _hottest_c(piece, text, heap=heap, fahrenheit=fahrenheit) >= FIRE_LOOK_DAILY.value:
                return True
    return False


def _hottest_c(piece: Piece, text: str, *, heap: bool, fahrenheit: bool) -> float:
    """The hottest a piece can be read as [degC]; a number without degrees counts where the heap is named beside it."""
    kind = str(piece.value) if piece.terminal == "UNSURE" else piece.terminal
    if kind != "TEMP" and not (kind == "NUM" and heap):
        return 0.0
    written = text[piece.start : piece.end]
    own = "degF" if re.search(r"f[a-z]*$", written) else "degC" if re.search(r"c[a-z]*$", written) else ""
    numbers = [float(digits.replace(",", ".")) for digits in _DIGITS.findall(written)]
    hottest = max(numbers, default=0.0)
    in_fahrenheit = own == "degF" or (not own and fahrenheit)
    return round((hottest - 32) / 1.8, 6) if in_fahrenheit else hottest
