"""Questions about heaps in general and their answers, read from `faq.toml`."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from rules.language import sources
from rules.language.model import Source


@dataclass(frozen=True, slots=True)
class Faq:
    """One question: groups of words any of which asks it, the answer, and who says so."""

    id: str
    asks: tuple[frozenset[str], ...]
    text: str
    source: Source
    first: bool = False
    """Whether it is answered before what follows from the heap that is told of."""
    unless: frozenset[str] = frozenset()
    """Words with which the question is another one."""


def stem(word: str) -> str:
    """A word without the endings that do not change what is asked."""
    for ending in ("ing", "ed", "es", "s"):
        if len(word) - len(ending) > 2 and word.endswith(ending):
            return word.removesuffix(ending)
    return word


def stems(text: str) -> frozenset[str]:
    """The stems of a text's words, numbers of weeks and months as words."""
    words = re.findall(r"[a-z]+|\d+", text.casefold())
    return frozenset(stem(_SPELLED.get(word, word)) for word in words)


def answer_to(question: str) -> Faq | None:
    """The entry whose largest group of words is all in the question; None where none is."""
    asked = stems(question)
    best: tuple[int, Faq] | None = None
    for entry in FAQ:
        size = 0 if entry.unless & asked else max((len(group) for group in entry.asks if group <= asked), default=0)
        if size and (best is None or size > best[0]):
            best = (size, entry)
    return None if best is None else best[1]


_SPELLED: Final = {"1": "one", "2": "two", "3": "three", "4": "four", "6": "six", "10": "ten", "12": "twelve"}
_DATA: Final = tomllib.loads(Path(__file__).with_name("faq.toml").read_text(encoding="utf-8"))
FAQ: Final = tuple(
    Faq(
        id_,
        tuple(stems(group) for group in entry["asks"]),
        entry["text"],
        getattr(sources, entry["source"]),
        entry.get("first", False),
        frozenset(map(stem, entry.get("unless", ()))),
    )
    for id_, entry in _DATA.items()
)
