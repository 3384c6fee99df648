"""Whether a thing may go into the heap: what is refused and why, and what the others are good for."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from rules.catalogue import said
from rules.tables.materials import MATERIALS, find_material, find_refusal
from rules.tables.uses import uses_of
from service.talk.chat.plain_text import plain

_ASKED: Final = re.compile(
    r"\b(?:can|could|may|should|shall|ok(?:ay)?|safe|good|bad|fine|what about|how about|any use|worth)\b"
)
_INTO_IT: Final = re.compile(
    r"\b(?:use|using|add|adding|put|putting|throw|chuck|mix|compost|go in|in it|in the (?:heap|pile)|good|bad|ok(?:ay)?"
    r"|fine|safe|instead)\b|\b(?:what|how) about\b"
)
_LONGEST_NAME: Final = 4
"""Words of the longest name that is looked for."""
_USES: Final = ("nitrogen", "carbon", "cover", "bulking_dry", "water")
"""What a thing is good for, in the order in which it is told."""


def refused_thing(text: str) -> str | None:
    """Why a thing that is asked about never goes in; None where none is."""
    words = plain(text)
    if not _asks(words):
        return None
    found = next((refusal for name in _names(words) if (refusal := find_refusal(name)) is not None), None)
    return None if found is None else f"{said(f'refused.{found.id}')} ({found.source.cite})"


def use_of_thing(text: str) -> str | None:
    """What a thing that is asked about is good for, with its first caution; None where none is known."""
    words = plain(text)
    if not _asks(words):
        return None
    id_ = next((each for name in _names(words) if (each := find_material(name)) is not None), None)
    if id_ is None:
        return None
    material = MATERIALS[id_]
    uses = uses_of(material)
    use = next((each for each in _USES if each in uses), "none")
    caution = "".join(f" {each.text}" for each in material.cautions[:1])
    return f"{said(f'chat.use.{use}', name=material.name[0].upper() + material.name[1:])}{caution}"


def _asks(words: str) -> bool:
    return _ASKED.search(words) is not None and _INTO_IT.search(words) is not None


def _names(words: str) -> Iterator[str]:
    """What may be a name in a question, the longest first."""
    listed = re.findall(r"[^\W\d_]+(?:'[^\W\d_]+)?", words)
    for length in range(_LONGEST_NAME, 0, -1):
        yield from (" ".join(listed[start : start + length]) for start in range(len(listed) - length + 1))
