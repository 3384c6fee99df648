"""Words that only need a sentence: each becomes a note beside the advice (`rules/language/words.toml`)."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language.model import Caution, Gravity, Rule
from rules.language.sources import COMMON_PRACTICE
from rules.language.vocabulary import SIGNS, SMELLS, Word


def _note(word: Word) -> Rule:
    """The note of one word, on the first action of any answer."""
    seen = f.smell.one_of(word.id) if word.kind == "smell" else f.DECLARED[word.id].is_true()
    name = word.id.replace("_", "-")
    return Rule(
        id=f"words.{name}",
        when=seen,
        reason=word.tells,
        gives=Caution(("*",), Gravity.NOTE),
        source=word.source or COMMON_PRACTICE,
    )


RULES: Final = tuple(_note(word) for word in (*SMELLS.values(), *SIGNS.values()) if word.tells)
