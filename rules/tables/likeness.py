"""What a material that nobody listed is taken for: the nearest in spelling, of its kind, or an unknown mix."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from rules.tables.materials import KINDS, MATERIAL_NAMES, MATERIALS, SUBSTANCES, SUPPLY_NAMES, plain_name
from rules.tables.spelling import nearest

UNKNOWN: Final = "unknown_mix"
MOST_KEPT: Final = 1000
"""Names whose likeness is remembered, so that many strange ones cannot fill the memory."""

How = Literal["spelling", "kind", "unknown"]


@dataclass(frozen=True, slots=True)
class Likeness:
    """The material or supply a name is taken for, and by what: a slip of spelling, its kind, or nothing."""

    id: str
    how: How


class Likened(str):
    """The id of a material, given under a name that is not known: `said` is that name, `how` it was placed."""

    said: str
    how: How

    @classmethod
    def of(cls, said: str, likeness: Likeness) -> Likened:
        """The id that a name stands for, which remembers the name."""
        self = cls(likeness.id)
        self.said, self.how = said, likeness.how
        return self

    @property
    def loose(self) -> bool:
        """Whether its figures are another thing's, so that their ranges must widen."""
        return self.how != "spelling"


@lru_cache(MOST_KEPT)
def liken(name: str, *, supplies: bool = False) -> Likeness:
    """What an unknown name is taken for: by what it is of, by spelling, by a known name within it, or by its kind."""
    plain = plain_name(name)
    names = {**MATERIAL_NAMES, **(SUPPLY_NAMES if supplies else {})}
    words = plain.split("_")
    if plain in names:
        return Likeness(names[plain], "spelling")
    substance = next((SUBSTANCES[word] for word in words if word in SUBSTANCES), None)
    if substance is not None:
        return Likeness(substance, "kind")
    spelled = nearest(plain, names)
    if spelled is not None:
        return Likeness(names[spelled], "spelling")
    within = _within(words, names) or _kind(words)
    return Likeness(within, "kind") if within else Likeness(UNKNOWN, "unknown")


def _within(words: list[str], names: dict[str, str]) -> str | None:
    """The longest known name among the words; of two as long the later, for the last word says what a thing is."""
    for count in range(min(len(words) - 1, 5), 0, -1):
        for start in range(len(words) - count, -1, -1):
            found = names.get("_".join(words[start : start + count]))
            if found is not None:
                return found
    return None


def _kind(words: list[str]) -> str | None:
    """The kind that a word names, the last word first, slips of spelling allowed."""
    for word in reversed(words):
        found = KINDS.get(word) or KINDS.get(nearest(word, KINDS) or "")
        if found is not None:
            return found
    return None


def suggestion(name: str, *, supplies: bool = False) -> str | None:
    """The known id to ask back with: the nearest in spelling or by its kind; None where nothing is near."""
    likeness = liken(name, supplies=supplies)
    return None if likeness.id == UNKNOWN or (likeness.id not in MATERIALS and not supplies) else likeness.id
