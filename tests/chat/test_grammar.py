"""Rules that the words of a clause cannot fill are left out of its parse: no reading is lost or won by that."""

from __future__ import annotations

import pytest

from service.talk.chat import grammar
from service.talk.chat.lexer import sentences
from tests.chat.test_phrasings import CASES

CLAUSES = [
    tuple(sentence.pieces)
    for case in CASES[::40]
    for sentence in sentences(case["text"])
    if 0 < len(sentence.pieces) <= 12
]


def test_the_library_alone_finds_the_same_readings(monkeypatch: pytest.MonkeyPatch) -> None:
    narrowed = [grammar.trees(pieces) for pieces in CLAUSES]
    assert sum(map(bool, narrowed)) >= 5
    whole = {origin: [needs.rule for needs in grammar._needs() if needs.rule.origin == origin] for origin in _origins()}
    monkeypatch.setattr(grammar, "_predictions", lambda _vocabulary: whole)
    assert [grammar.trees(pieces) for pieces in CLAUSES] == narrowed


def test_a_clause_meets_few_of_the_rules() -> None:
    whole = len(grammar._needs())
    table = grammar._predictions(frozenset({"NUMBER", "UNIT", "CORE"}))
    assert 0 < sum(map(len, table.values())) < whole / 10


def _origins() -> set[object]:
    return {needs.rule.origin for needs in grammar._needs()}
