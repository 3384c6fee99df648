"""The chat's words and units, from `words.toml` and `units.toml`."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

from rules.language.toml import TomlTable
from rules.language.vocabulary import SIGNS, SMELLS, SYMPTOMS, plain_word
from rules.tables.materials import SUPPLIES, find_on_hand, find_refusal
from service.talk.chat.families import phrases_of

_HERE: Final = Path(__file__).parent
_TOLD_WORDS: Final = {"SMELL_KIND": SMELLS, "SIGN": SIGNS, "SYMPTOM": SYMPTOMS}
NOTHING: Final = "none"
"""An id that people use for anything: alone it is no smell."""
_NO_THINGS: Final = frozenset({"green", "leave"})
"""What would be a thing without its plural, and is another word."""
LONGEST_PHRASE: Final = 6
"""Words of the longest phrase that is looked for."""

PhraseWords = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class UnitWord:
    """A unit as it is written after a number: its terminal and the contract's name for it."""

    terminal: str
    name: str
    glued: bool


@dataclass(frozen=True, slots=True)
class Lexicon:
    """Phrases and units by spelling. A phrase gives its terminal and, where it has one, its value."""

    phrases: dict[PhraseWords, tuple[str, str]]
    fillers: frozenset[PhraseWords]
    elsewhere: frozenset[PhraseWords]
    wishes: frozenset[PhraseWords]
    doubts: frozenset[PhraseWords]
    turns: frozenset[PhraseWords]
    units: dict[str, UnitWord]
    common: frozenset[str]
    binding: frozenset[str]
    binding_beside: frozenset[str]
    things: frozenset[str]

    def find(self, words: PhraseWords) -> tuple[str, str] | None:
        """Terminal and value of a phrase, or of the name of a material or supply."""
        known = self.phrases.get(words)
        return known or _material(" ".join(words))


@cache
def lexicon() -> Lexicon:
    """Read both tables. Raises ValueError where a phrase stands in two places."""
    words = tomllib.loads((_HERE / "words.toml").read_text(encoding="utf-8"))
    units = tomllib.loads((_HERE / "units.toml").read_text(encoding="utf-8"))
    phrases: dict[PhraseWords, tuple[str, str]] = {}
    for terminal, spelled in words["words"].items():
        for phrase in spelled:
            _put(phrases, phrase, (terminal, phrase))
    for terminal, values in words["values"].items():
        for value, spelled in values.items():
            for phrase in spelled:
                _put(phrases, phrase, (terminal, value))
    for terminal, known in _TOLD_WORDS.items():
        for word in known.values():
            named = () if word.id == NOTHING else (word.id,)
            for phrase in dict.fromkeys(plain_word(each) for each in (*named, *word.says)):
                _put(phrases, phrase, (terminal, word.id))
    for family in words["families"]:
        for phrase in dict.fromkeys(phrases_of(family, words["slots"])):
            meaning = (family["terminal"], str(family.get("value", phrase)))
            if len(_split(phrase)) <= LONGEST_PHRASE and phrases.get(_split(phrase)) != meaning:
                _put(phrases, phrase, meaning)
    for phrase, wanted in words["vague"].items():
        _put(phrases, phrase, ("VAGUE", wanted))
    lists = {
        name: frozenset(_split(phrase) for phrase in words[name])
        for name in ("fillers", "elsewhere", "wishes", "doubts", "turns")
    }
    single = {name: frozenset(words[name].split()) for name in ("common", "binding", "binding_beside", "things")}
    return Lexicon(
        phrases=phrases,
        units=_units(units),
        common=single["common"],
        binding=single["binding"],
        binding_beside=single["binding_beside"],
        things=single["things"],
        **lists,
    )


def _put(phrases: dict[PhraseWords, tuple[str, str]], phrase: str, meaning: tuple[str, str]) -> None:
    split = _split(phrase)
    if split in phrases or len(split) > LONGEST_PHRASE:
        raise ValueError(f"words.toml: {phrase!r} stands in two places, or is too long")
    phrases[split] = meaning


def _split(phrase: str) -> PhraseWords:
    return tuple(phrase.replace("-", " ").split())


def _units(tables: TomlTable) -> dict[str, UnitWord]:
    glued = frozenset(tables.pop("glued"))
    units: dict[str, UnitWord] = {}
    for terminal, names in tables.items():
        for name, spelled in names.items():
            for spelling in spelled:
                if spelling in units:
                    raise ValueError(f"units.toml: {spelling!r} stands in two places")
                units[spelling] = UnitWord(terminal, name, spelling in glued)
    return units


@cache
def _material(name: str) -> tuple[str, str] | None:
    """A supply or material of this name, or one that never belongs in a heap."""
    found = None if name in _NO_THINGS else find_on_hand(name)
    if found is not None:
        return ("SUPPLY" if found in SUPPLIES else "MATERIAL"), found
    refusal = find_refusal(name)
    return None if refusal is None else ("REFUSED", refusal.id)
