"""Slips of the hand in words, mended where only one known word is near; numbers are never touched."""

from __future__ import annotations

import re
from functools import cache, lru_cache
from typing import Final

from rules.tables.alarm_words import is_alarm
from rules.tables.materials import KINDS, MATERIAL_NAMES, SUPPLY_NAMES, find_on_hand
from rules.tables.spelling import slips
from service.talk.chat.lexicon import lexicon
from service.talk.chat.numbers import NUMBER_WORDS
from service.talk.chat.parts.concepts import phrases_known

_WORD: Final = re.compile(r"[^\W\d_]{3,20}(?![\w'])")
_COUNTED: Final = re.compile(r"\d ?$")
SHORTEST: Final = 5
"""Letters from which a word may have a slip; of shorter ones too many are other words (our own)."""
TWO_SLIPS: Final = 8
"""Letters from which a word may have two slips (our own)."""
SHORT: Final = 4
"""Letters from which a word may have a slip if it names a feel, a smell, a sign or a material (no number is of it)."""
_NO_NUMBER: Final = frozenset({"FEEL", "SMELL_KIND", "SIGN", "MATERIAL", "SUPPLY", "COVER_KIND"})
LONG: Final = 9
"""Letters from which a filler such as "temperature" is mended too: no other word is near (our own)."""
MOST_TRIED: Final = 40
"""Strange words looked up in one message, so that its cost stays in bounds (our own)."""


def mended(text: str) -> tuple[str, list[tuple[str, str]]]:
    """A text made plain, with each slip set right; and what was set right: the word as written, and as read."""
    found: list[tuple[str, str]] = []
    pieces: list[str] = []
    place = tried = 0
    for word in _WORD.finditer(text):
        if text[word.start() - 1 : word.start()].isalnum() or word[0] in _known() or word[0] in lexicon().common:
            continue
        if word[0] in lexicon().things | lexicon().binding | lexicon().binding_beside:
            continue  # a boiler is no broiler
        if is_alarm(word[0]):
            continue  # in whatever language: it is no slip of a harmless word
        if len(word[0]) <= SHORT and _COUNTED.search(text, 0, word.start()):
            continue  # behind a number it is a unit: a volt is no vole
        if _in_other_number(word[0]):
            continue  # "heaps" is no slip of "heads"
        tried += 1
        meant = _two_words(word[0]) or _meant(word[0]) if tried <= MOST_TRIED else None
        if meant is None:
            continue
        pieces += [text[place : word.start()], meant]
        place = word.end()
        found.append((word[0], meant))
    return "".join([*pieces, text[place:]]), found


@lru_cache(1000)
def _two_words(word: str) -> str | None:
    """Two known words that are written as one and name a thing together: "woodshavings", "horsemuck"."""
    for place in range(SHORT - 1, len(word) - SHORT + 2):
        pair = (word[:place], word[place:])
        found = lexicon().find(pair)
        if found is not None and found[0] in ("MATERIAL", "SUPPLY"):
            return " ".join(pair)
    return None


def _in_other_number(word: str) -> bool:
    """Whether a word is known in the singular or the plural."""
    return f"{word}s" in _known() or (word.endswith("s") and word[:-1] in _known())


@lru_cache(1000)
def _meant(word: str) -> str | None:
    """The one known word that is a slip away, or two slips from a long one; None where there are several or none."""
    if len(word) < SHORTEST:
        return _meant_shortly(word) if len(word) >= SHORT else None
    for most in range(1, 2 + (len(word) >= TWO_SLIPS)):
        near = {known for known in _by_letter().get(word[0], ()) if slips(word, known, most) <= most}
        near = {known for known in near if known.removesuffix("y") != word}
        if len({_sense(known) for known in near}) == 1:
            return min(near, key=lambda known: (abs(len(known) - len(word)), known))
        if near:
            return None
    return None


def _meant_shortly(word: str) -> str | None:
    """The one word that a short one may be a slip of, where no number is of what it names."""
    near = {known for known in _short_by_letter().get(word[0], ()) if slips(word, known, 1) <= 1}
    return near.pop() if len(near) == 1 else None


@cache
def _short_by_letter() -> dict[str, tuple[str, ...]]:
    """Words that a short one may mean, by their first letter: those with a sense, and animals' names in materials."""
    letters: dict[str, list[str]] = {}
    for word in sorted(_known() - NUMBER_WORDS):
        found = lexicon().find((word,))
        animal = found is None and find_on_hand(f"{word} manure") is not None
        if len(word) >= SHORT - 1 and (animal or (found is not None and found[0] in _NO_NUMBER)):
            letters.setdefault(word[0], []).append(word)
    return {letter: tuple(words) for letter, words in letters.items()}


_NAMING: Final = frozenset(
    {*_NO_NUMBER, "CORE", "OUTER", "OUTSIDE", "HOUSE", "FAN", "PUMP", "PROBE", "SMELL", "SYMPTOM", "WIND", "GLAZING"}
)
"""What a word must be of to be asked about where it may be meant."""
MOST_OFFERED: Final = 2


def perhaps_meant(text: str) -> tuple[str, ...]:
    """Known words that a word of an unread text may be a slip of, where it was not set right: asked, never taken."""
    for word in _WORD.findall(text):
        strange = len(word) >= SHORT and word not in _known() and word not in lexicon().common
        if not strange or word in lexicon().things or _in_other_number(word) or is_alarm(word):
            continue
        most = 1 if len(word) < TWO_SLIPS else 2
        numbered = any(letter.isdigit() for letter in text)
        near = [known for known in _naming(numbered).get(word[0], ()) if slips(word, known, most) <= most]
        if 0 < len(near) <= MOST_OFFERED:
            return tuple(near)
    return ()


@cache
def _naming(numbered: bool) -> dict[str, tuple[str, ...]]:
    """Single words that name a place, a thing, a feel, a smell or a sign, by their first letter.

    Where a number is told too, those that a number can be of.
    """
    naming = _NAMING - _NO_NUMBER if numbered else _NAMING
    letters: dict[str, list[str]] = {}
    for word in sorted(_known() - NUMBER_WORDS):
        found = lexicon().find((word,))
        if len(word) >= SHORT and found is not None and found[0] in naming:
            letters.setdefault(word[0], []).append(word)
    return {letter: tuple(words) for letter, words in letters.items()}


_STEMS: Final = frozenset(
    f"{word}n" for word in ("must", "is", "was", "does", "did", "could", "would", "should", "has", "had", "are", "were")
)
"""What is left of "mustn't" before its apostrophe is no word that is meant."""


def _sense(word: str) -> object:
    """What a word means by itself; one that stands only in phrases is its own sense."""
    return lexicon().find((word,)) or word.removesuffix("s")


@cache
def _by_letter() -> dict[str, tuple[str, ...]]:
    """Words that may be meant, by their first letter, which people rarely miss."""
    letters: dict[str, list[str]] = {}
    words = lexicon()
    idle = {
        word
        for phrase in (*words.fillers, *words.elsewhere, *words.doubts, *words.turns, *words.wishes)
        for word in phrase
    }
    idle -= {word for word in idle if len(word) >= LONG}
    for word in sorted(_known() - NUMBER_WORDS - idle - _STEMS):
        if len(word) >= SHORTEST:
            letters.setdefault(word[0], []).append(word)
    return {letter: tuple(words) for letter, words in letters.items()}


@cache
def _known() -> frozenset[str]:
    """Every single word that means something here."""
    words = lexicon()
    phrases = [*words.phrases, *words.fillers, *words.elsewhere, *words.doubts, *words.turns, *words.wishes]
    names = [*MATERIAL_NAMES, *SUPPLY_NAMES, *phrases_known()]
    spelled = " ".join([*(" ".join(phrase) for phrase in phrases), *words.units, *names, *KINDS])
    months = "january february march april june july august september october november december"
    return frozenset(re.findall(r"[^\W\d_]+", f"{spelled} {months}".lower().replace("_", " "))) | NUMBER_WORDS
