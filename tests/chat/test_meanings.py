"""Whatever fits the grammar is read, asked back or named: no rule of it breaks what reads it."""

from __future__ import annotations

import random
from collections import defaultdict
from datetime import UTC, datetime
from typing import Any, Final

import pytest

from service.talk.chat.days import NamedDay
from service.talk.chat.grammar import ANSWERS, FACT, LONE, rules, terminals, trees
from service.talk.chat.lexicon import lexicon
from service.talk.chat.reading import Setting, Unclear
from service.talk.chat.statements import SAYS
from service.talk.chat.tokens import TextPiece, WrittenNumber

NOW = datetime(2026, 1, 20, 8, tzinfo=UTC)
UNITS: Final = {
    **{"NUM": "", "TEMP": "degC", "DURATION": "days", "VOLUME": "m3", "YARDS": "yd", "MASS": "kg", "TONS": "ton"},
    **{"LENGTH": "m", "AREA": "m2", "AIRFLOW": "m3/h", "WATERFLOW": "L/min", "MINUTES": "min/h", "HOURS": "h/day"},
    **{"SPEED": "km/h", "PERCENT": "%", "PARTS": "part", "PER_DAY": "degC", "NTH": "days"},
}
LONGEST: Final = 14
DEEPEST: Final = 6


def words_by_terminal() -> dict[str, list[str]]:
    found: dict[str, list[str]] = defaultdict(list)
    for terminal, value in lexicon().phrases.values():
        found[terminal].append(value)
    return found


def value_of(terminal: str, words: dict[str, list[str]], drawn: random.Random) -> Any:
    if terminal in UNITS:
        return WrittenNumber(float(drawn.choice([3, 8, 20, 50])), UNITS[terminal])
    sides = (WrittenNumber(3.0, "m"), WrittenNumber(2.0, drawn.choice(["m", ""])), WrittenNumber(1.0, "m"))
    given: dict[str, Any] = {
        "MEASURES": sides,
        "TWO_MEASURES": sides[:2],
        "RATIO": (3.0, 1.0),
        "DAY": NamedDay(drawn.choice([None, 1, 11]), drawn.choice([5, 15])),
        "MATERIAL": drawn.choice(["wood_chips", "horse_manure", "straw", "urea", "lime"]),
        "SUPPLY": drawn.choice(["water", "tarp", "clear_film", "bubble_wrap", "straw_bales"]),
    }
    return given.get(terminal) or drawn.choice(words.get(terminal) or [terminal.lower()])


@pytest.mark.slow
def test_what_fits_the_grammar_breaks_nothing() -> None:
    drawn = random.Random(20260120)
    ways: dict[str, list[tuple[str, ...]]] = defaultdict(list)
    for origin, expansion in rules():
        ways[origin].append(expansion)

    def names_of(name: str, depth: int = 0) -> list[str]:
        if name in terminals():
            return [name]
        chosen = drawn.choice(ways[name]) if depth < DEEPEST else min(ways[name], key=len)
        return [each for part in chosen for each in names_of(part, depth + 1)]

    words, read = words_by_terminal(), 0
    for fact in dict.fromkeys([*(way[0] for way in ways[FACT]), LONE, *ANSWERS.values()]):
        for _ in range(60):
            names = names_of(fact)[:LONGEST]
            pieces = [
                TextPiece(name, value_of(name, words, drawn), 2 * at, 2 * at + 1) for at, name in enumerate(names)
            ]
            for tree in trees(pieces, fact)[:4]:
                read += 1
                try:
                    list(SAYS[str(tree.data)](tree, Setting(NOW, "metric")))
                except Unclear as unclear:
                    assert str(unclear)
    assert read > 4000
