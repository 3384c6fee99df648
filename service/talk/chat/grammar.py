"""The grammar of `grammar.lark` over the lexer's pieces: every way to read a clause, of which there may be none."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator, Sequence
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, Final, NamedTuple

from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedInput
from lark.grammar import NonTerminal, Rule, Symbol
from lark.lexer import Lexer
from lark.visitors import CollapseAmbiguities

from service.talk.chat.tokens import Piece

STATEMENT: Final = "statement"
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
VOCABULARIES_KEPT: Final = 512
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


@cache
def _parser() -> Lark:
    text = Path(__file__).with_name("grammar.lark").read_text(encoding="utf-8")
    return Lark(
        text,
        parser="earley",
        lexer=_Given,
        ambiguity="explicit",
        start=[STATEMENT, LONE, *ANSWERS.values()],
        maybe_placeholders=False,
    )


def _earley() -> Any:
    """The library's own parser inside, whose table of predictions is narrowed to the clause at hand."""
    return _parser().parser.parser


@cache
def terminals() -> frozenset[str]:
    """Every terminal the grammar has a place for."""
    return frozenset(symbol.name for rule in _parser().rules for symbol in rule.expansion if symbol.is_term)


class _Needs(NamedTuple):
    """What the right side of a rule is made of."""

    rule: Rule
    words: frozenset[str]
    """Names of terminals."""
    parts: frozenset[Symbol]


@cache
def _needs() -> tuple[_Needs, ...]:
    return tuple(
        _Needs(
            rule,
            frozenset(symbol.name for symbol in rule.expansion if symbol.is_term),
            frozenset(symbol for symbol in rule.expansion if not symbol.is_term),
        )
        for rule in _parser().rules
    )


@lru_cache(VOCABULARIES_KEPT)
def _predictions(vocabulary: frozenset[str]) -> dict[NonTerminal, list[Rule]]:
    """By symbol the rules of its own that words of these terminals can fill.

    The library's table holds for each symbol all that may stand first in it, however deep, so each place of a clause
    met thousands of rules; most ask for words that the clause has not. The readings are the same.
    """
    left = [needs for needs in _needs() if needs.words <= vocabulary]
    table: dict[NonTerminal, list[Rule]] = {needs.rule.origin: [] for needs in _needs()}
    made: set[Symbol] = set()
    while fitting := [needs for needs in left if needs.parts <= made]:
        left = [needs for needs in left if not needs.parts <= made]
        made.update(needs.rule.origin for needs in fitting)
        for needs in fitting:
            table[needs.rule.origin].append(needs.rule)
    return table


def trees(pieces: Sequence[Piece], start: str = STATEMENT) -> list[Tree[Any]]:
    """Every way to read all the pieces from `start`; empty where there is none, or where there are far too many."""
    if not 0 < len(pieces) <= LONGEST_CLAUSE or any(piece.terminal not in terminals() for piece in pieces):
        return []
    try:
        with _LOCK:  # the parser keeps its state in itself while it works
            _earley().predictions = _predictions(frozenset(piece.terminal for piece in pieces))
            tree = _parser().parse(_as_input(pieces), start=start)
    except UnexpectedInput:
        return []
    if _readings(tree) > MOST_READINGS:
        return []
    found: list[Tree[Any]] = CollapseAmbiguities().transform(tree)
    return found


def _as_input(pieces: Iterable[Piece]) -> Any:
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
