"""Numbers that were chosen, read or learned: each stands with its unit, why it is so, and how that is known.

`python -m tests.figures` prints them all as one table.
"""

from __future__ import annotations

from typing import Literal, TypeVar

KnownWord = Literal["read", "read second hand", "from memory", "derived", "no source"]
"""As in `rules.language.model`: `derived` is worked out, fitted or measured; `no source`, common practice or ours."""
FigureValue = TypeVar("FigureValue")


def figure(value: FigureValue, unit: str, why: str, how_known: KnownWord) -> FigureValue:
    """A number in `unit` (`1` where it has none), or several of one meaning; `why` says what it is and why it is so."""
    return value


def figures(*told: tuple[FigureValue, str], why: str, how_known: KnownWord) -> tuple[FigureValue, ...]:
    """Numbers, each with its unit, that have one reason together."""
    return tuple(value for value, _ in told)
