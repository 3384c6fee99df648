"""Words that call for an answer before anything else, in eight languages, whatever their accents."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from functools import cache
from pathlib import Path
from typing import Final

_FILE: Final = Path(__file__).with_name("alarm_words.toml")
_NO_ACCENT: Final = str.maketrans({"ł": "l", "ø": "o", "ð": "d", "đ": "d"})
_PARTS: Final = re.compile(r"[^\w']+|_")


def folded(text: str) -> str:
    """The text in lower case, without accents, its words one space apart; other marks are kept as words."""
    plain = unicodedata.normalize("NFKD", text.casefold()).translate(_NO_ACCENT)
    return "".join(mark for mark in plain if not unicodedata.combining(mark))


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    tables = tomllib.loads(_FILE.read_text(encoding="utf-8"))
    return {kind: _pattern(kind, words) for kind, words in tables.items()}


def _pattern(kind: str, words: dict[str, list[str]]) -> re.Pattern[str]:
    """One pattern for all the words of a kind; a mark that is no word is looked for as it is."""
    listed = sorted({word for language in words.values() for word in language}, key=lambda word: (-len(word), word))
    spelled = [_spelled(word) for word in listed if word[0].isalnum()]
    marks = [re.escape(word) for word in listed if not word[0].isalnum()]
    return re.compile("|".join([rf"(?<![^\W_])(?:{'|'.join(spelled)})(?![^\W_])", *marks]))


def _spelled(word: str) -> str:
    stem = re.escape(word.removesuffix("*")).replace(r"\ ", r"[\W_]{1,3}")
    return stem + r"[^\W_]{0,20}" if word.endswith("*") else stem


def speaks_of(kind: str, text: str) -> bool:
    """Whether a word of this kind, a table of `alarm_words.toml`, stands in a text."""
    return _patterns()[kind].search(folded(text)) is not None


def is_alarm(text: str) -> bool:
    """Whether a text speaks of fire, gas, people who are unwell, pipes, or a shock, in any of the languages."""
    return any(speaks_of(kind, text) for kind in ("fire", "gas", "unwell", "pipes", "current"))


def is_answer(kind: str, text: str) -> bool:
    """Whether a text is nothing but a `yes`, or nothing but a `no`."""
    words = " ".join(part for part in _PARTS.split(folded(text)) if part)
    return _patterns()[kind].fullmatch(words) is not None
