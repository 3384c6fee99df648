"""Phrases that differ in one word alone, written once: "{sucks} air {through} the {heap}"."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

_SLOT: Final = re.compile(r"\{(\??)([a-z_ ']+)\}")


def phrases_of(family: Mapping[str, Any], slots: Mapping[str, Sequence[str]]) -> Iterator[str]:
    """All phrases of a family. `{name}` is each word of the slot of that name, `{?word}` the word or nothing.

    Raises KeyError where a slot is named that is not there.
    """
    for pattern in family["says"]:
        parts = _SLOT.split(pattern)
        choices: list[Sequence[str]] = []
        for place in range(0, len(parts), 3):
            choices.append([parts[place]])
            if place + 2 < len(parts):
                maybe, name = parts[place + 1 : place + 3]
                choices.append((*slots.get(name, (name,)), "") if maybe else slots[name])
        for words in itertools.product(*choices):
            yield " ".join("".join(words).split())
