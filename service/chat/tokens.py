"""What the lexer hands to the grammar."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

NUMBERS: Final = frozenset(
    {
        "NUM",
        "TEMP",
        "DURATION",
        "VOLUME",
        "YARDS",
        "MASS",
        "TONS",
        "LENGTH",
        "AREA",
        "AIRFLOW",
        "WATERFLOW",
        "MINUTES",
        "HOURS",
        "SPEED",
        "PERCENT",
        "UNSURE",
    }
)
"""Terminals that hold a number."""
ROLES: Final = frozenset(
    {
        "CORE",
        "OUTER",
        "OUTSIDE",
        "TONIGHT",
        "LOW",
        "OLD",
        "AGE",
        "BUILT",
        "FAN",
        "PUMP",
        "INLET",
        "OUTLET",
        "HOUSE",
        "PROBE",
        "KEEP",
    }
)
"""Words that say what a number beside them means."""


@dataclass(frozen=True, slots=True)
class Number:
    """A number as it was written, with the contract's name of its unit; `?` is degrees of unknown scale."""

    value: float
    unit: str

    def __str__(self) -> str:
        """As the contract writes a quantity, e.g. `121 degF`."""
        return f"{self.value:g} {self.unit}".strip()


@dataclass(frozen=True, slots=True)
class Piece:
    """One word, number or mark: its terminal, what it means, and where in the text it stands."""

    terminal: str
    value: Any
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Sentence:
    """The pieces of one sentence; `asked` if it ends with a question mark."""

    pieces: tuple[Piece, ...]
    asked: bool
