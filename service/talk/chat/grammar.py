"""The grammar of `grammar.lark` over the lexer's pieces: every way to read a clause, of which there may be none."""

from __future__ import annotations

import re
import threading
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Any, Final

from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedInput
from lark.lexer import Lexer
from lark.visitors import CollapseAmbiguities

from service.talk.chat.tokens import TextPiece

FACT: Final = "fact"
"""Any one thing that may be told."""
LONE: Final = "lone"
"""A number with its unit and nothing that says what it is of."""
ANSWERS: Final = {
    "/pile/age": "answer_age",
    "/temperatures/core": "answer_core",
    "/history": "answer_history",
    "/smell": "answer_smell",
    "/pile/ingredients": "answer_ingredients",
    "/pile/size": "answer_size",
    "/draw": "answer_draw",
    "/pile/cover": "answer_cover",
    "/temperatures/outdoor": "answer_outdoor",
    "/signs": "answer_signs",
    "/probe/length": "answer_length",
    "/weather/low": "answer_low",
}
"""What a short answer to each question may be."""
LONGEST_CLAUSE: Final = 40
"""Pieces of the longest clause that is tried: the time to read one grows faster than its length."""
MOST_READINGS: Final = 64
_LOCK: Final = threading.Lock()


class _Given(Lexer):
    """Hands pieces that are already cut to the parser."""

    def __init__(self, _conf: Any) -> None:
        pass

    def lex(self, lexer_state: Any, parser_state: Any = None) -> Iterator[Token]:
        """The pieces as tokens whose value is the piece."""
        for piece in lexer_state:
            token = Token(piece.terminal, piece.value)
            token.value = piece
            yield token


def _facts(text: str) -> list[str]:
    """The names of the facts in the grammar."""
    (listed,) = re.findall(rf"^\?{FACT}:((?:.|\n )*)", text, re.MULTILINE)
    return [name.strip() for name in listed.split("|")]


@cache
def _parser() -> Lark:
    text = Path(__file__).with_name("grammar.lark").read_text(encoding="utf-8")
    return Lark(
        text,
        parser="earley",
        lexer=_Given,
        ambiguity="explicit",
        start=[FACT, *_facts(text), LONE, *ANSWERS.values()],
        maybe_placeholders=False,
    )


@cache
def terminals() -> frozenset[str]:
    """Every terminal the grammar has a place for."""
    return frozenset(symbol.name for rule in _parser().rules for symbol in rule.expansion if symbol.is_term)


@cache
def rules() -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Every way to write each rule: its name, and the names of what stands in it."""
    return tuple((str(rule.origin.name), tuple(str(part.name) for part in rule.expansion)) for rule in _parser().rules)


def trees(pieces: Sequence[TextPiece], start: str = FACT) -> list[Tree[Any]]:
    """Every way to read all the pieces from `start`; empty where there is none, or where there are far too many."""
    if not 0 < len(pieces) <= LONGEST_CLAUSE or any(piece.terminal not in terminals() for piece in pieces):
        return []
    try:
        with _LOCK:  # the parser keeps its state in itself while it works
            tree = _parser().parse(_as_input(pieces), start=start)
    except UnexpectedInput:
        return []
    if _readings(tree) > MOST_READINGS:
        return []
    found: list[Tree[Any]] = CollapseAmbiguities().transform(tree)
    return found


def _as_input(pieces: Iterable[TextPiece]) -> Any:
    return list(pieces)


def _readings(tree: Tree[Any]) -> int:
    """How many trees an ambiguous one stands for, counted without making them."""
    counts = [_readings(child) for child in tree.children if isinstance(child, Tree)]
    if tree.data == "_ambig":
        return sum(counts)
    product = 1
    for count in counts:
        product *= count
    return product
