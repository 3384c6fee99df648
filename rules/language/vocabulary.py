"""What a grower smells, sees and feels, as records: id, kind, label, how people say it, and what it tells.

Status, form, chat and tools take these words from here; `GET /words` lists them.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from rules.language import sources
from rules.language.model import Source
from rules.language.toml import TomlTable, entry_of

WordKind = Literal["smell", "sign", "symptom"]


@dataclass(frozen=True, slots=True)
class Word:
    """One thing that may be told.

    `tells` is what it means, where no rule says more; "" where rules say it all. `fact` is what it becomes: for a sign
    a fact of its own name, which holds where `means` is so.
    """

    id: str
    kind: WordKind
    label: str
    says: tuple[str, ...]
    tells: str
    source: Source | None
    fact: str
    means: str = ""
    at_once: str = ""
    """The rule whose reason is told at once where too little is known for advice; "" where nothing presses."""
    together: tuple[tuple[str, ...], ...] = ()
    """Lists of phrases: one of each, in one breath and in this order or the other, says it too."""
    unless: str = ""
    """Words of this kind (`rules/tables/alarm_words.toml`) in the same message mean something else; "" for none."""


def word_of(kind: WordKind, id_: str) -> Word | None:
    """The record of a word."""
    return {"smell": SMELLS, "sign": SIGNS, "symptom": SYMPTOMS}[kind].get(id_)


def plain_word(text: str) -> str:
    """A word or phrase as phrases are compared: lower case, hyphens and underlines as spaces."""
    return " ".join(text.casefold().replace("_", " ").replace("-", " ").split())


def _word(kind: WordKind, id_: str, entry: TomlTable) -> Word:
    with entry_of("rules/language/words.toml", f"{kind}.{id_}"):
        fact = {"smell": "smell", "sign": id_, "symptom": entry.get("fact", "")}[kind]
        source = getattr(sources, entry["source"]) if "source" in entry else None
        means = entry["means"] if kind == "sign" else ""
        tells, at_once = entry.get("tells", ""), entry.get("at_once", "")
        return Word(
            id_, kind, entry["label"], tuple(entry["says"]), tells, source, fact, means, at_once, _together(entry)
        )


def _together(entry: TomlTable) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(phrases) for phrases in entry.get("together", ()))


def _read(kind: WordKind) -> dict[str, Word]:
    return {id_: _word(kind, id_, entry) for id_, entry in _DATA[kind].items()}


def _phrases(words: dict[str, Word]) -> dict[str, str]:
    """The id behind every phrase; one phrase for two words is an error in the data."""
    phrases: dict[str, str] = {}
    for word in words.values():
        for phrase in {plain_word(each) for each in (word.id, *word.says)}:
            if phrase in phrases:
                raise ValueError(f"words.toml: {phrase!r} means both {phrases[phrase]} and {word.id}")
            phrases[phrase] = word.id
    return phrases


_DATA: Final = tomllib.loads(Path(__file__).with_name("words.toml").read_text(encoding="utf-8"))
SMELLS: Final = _read("smell")
SIGNS: Final = _read("sign")
SYMPTOMS: Final = _read("symptom")
_SMELL_PHRASES: Final = _phrases(SMELLS)
_SIGN_PHRASES: Final = _phrases(SIGNS)
_SYMPTOM_PHRASES: Final = _phrases(SYMPTOMS)


def find_smell(said: str) -> str | None:
    """The id of the smell that is called this."""
    return _SMELL_PHRASES.get(plain_word(said))


def find_sign(said: str) -> str | None:
    """The id of the sign that is called this."""
    return _SIGN_PHRASES.get(plain_word(said))


def find_symptom(said: str) -> str | None:
    """The id of what a person feels that is called this."""
    return _SYMPTOM_PHRASES.get(plain_word(said))
