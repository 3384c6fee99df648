"""How far apart two spellings are, and which known name was meant."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

LETTERS_A_SLIP: Final = 4
"""Letters that one slip of the hand is allowed for: a word of four may have one, of eight two (our own)."""
LONGEST_SPELLED: Final = 60
"""Letters of the longest name that is compared; the cost grows with the square of it."""


def slips(one: str, other: str, most: int) -> int:
    """Letters left out, put in, changed or swapped with their neighbour between two words; `most` + 1 if more.

    The optimal string alignment distance (Damerau, 1964; Levenshtein, 1966).
    """
    if abs(len(one) - len(other)) > most:
        return most + 1
    before: list[int] = []
    row = list(range(len(other) + 1))
    for place, letter in enumerate(one, start=1):
        earlier, before, row = before, row, [place]
        for column, own in enumerate(other, start=1):
            cost = min(before[column] + 1, row[-1] + 1, before[column - 1] + (letter != own))
            swapped = place > 1 < column and letter == other[column - 2] and one[place - 2] == own
            row.append(min(cost, earlier[column - 2] + 1) if swapped else cost)
        if min(row) > most:
            return most + 1
    return min(row[-1], most + 1)


def allowed_slips(word: str) -> int:
    """How many slips a word may have and still be taken for another: none below four letters."""
    return len(word) // LETTERS_A_SLIP


def nearest(given: str, known: Iterable[str]) -> str | None:
    """The known word that is nearest in spelling, the first of several; None where none is near enough.

    One of the first two letters must be right: people rarely miss both, and most words need not be compared then.
    """
    if len(given) > LONGEST_SPELLED:
        return None
    most, best = allowed_slips(given), None
    for word in known:
        if word[:1] != given[:1] and word[1:2] != given[1:2] and word[:1] != given[1:2]:
            continue
        away = slips(given, word, most)
        if away <= most:
            most, best = away - 1, word
        if most < 0:
            break
    return best
