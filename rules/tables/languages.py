"""Languages other than English: by which words a message is known to be in one."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from pathlib import Path
from typing import Final

from rules.tables.alarm_words import folded

_FILE: Final = Path(__file__).with_name("languages.toml")
_WORD: Final = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)?")
FEWEST: Final = 2
"""Words of one language from which a message may be in it (our own)."""
SHARE: Final = 0.5
"""Of the words of a message, numbers and lone letters apart, at least this share (our own)."""


@cache
def _languages() -> dict[str, frozenset[str]]:
    tables = tomllib.loads(_FILE.read_text(encoding="utf-8"))
    return {name: frozenset(folded(words).split()) for name, words in tables.items()}


def foreign_language(text: str) -> str | None:
    """The language a text is in, where that is not English: the one most of its words are of, None where none is."""
    words = [word for word in _WORD.findall(folded(text)) if len(word) > 1]
    counts = {name: sum(word in known for word in words) for name, known in _languages().items()}
    most = max(counts, key=lambda name: counts[name])
    told = len({word for word in words if word in _languages()[most]})
    return most if told >= FEWEST and counts[most] >= SHARE * len(words) else None
