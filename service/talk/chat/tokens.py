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
        "PARTS",
        "MEASURES",
        "TWO_MEASURES",
        "RATIO",
        "PER_DAY",
        "UNSURE",
    }
)
"""Terminals that hold a number."""
_SIZES: Final = frozenset({"VOLUME", "YARDS", "MASS", "TONS"})
_PLACES: Final = frozenset({"CORE", "OUTER", "OUTSIDE", "TONIGHT", "LOW", "INLET", "OUTLET", "HOUSE", "KEEP", "TARGET"})
ROLES: Final[dict[str, frozenset[str]]] = {
    "TEMP": _PLACES,
    "DURATION": frozenset({"OLD", "AGE", "BUILT", "AGO", "SPAN"}),
    "LENGTH": frozenset({"WIDE", "HIGH", "LONG", "PROBE", "DEEP"}),
    **dict.fromkeys(_SIZES, frozenset({"MATERIAL", "SUPPLY", "HEAP", "HOUSE", "WATERED", "ADDED"})),
}
"""Words that say what a number of each terminal is of."""
NAMES: Final[dict[str, str]] = {
    **{place: place for place in (*_PLACES, "INSIDE", "PROBE", "FAN", "PUMP")},
    **dict.fromkeys(("OLD", "AGE", "BUILT"), "age"),
    **dict.fromkeys(("WIDE", "HIGH", "LONG"), "measures"),
}
"""Words that name the thing a number is of: two clauses that name one thing speak of the same."""


@dataclass(frozen=True, slots=True)
class WrittenNumber:
    """A number as it was written, with the contract's name of its unit; `?` is degrees of unknown scale."""

    value: float
    unit: str

    def __str__(self) -> str:
        """As the contract writes a quantity, e.g. `121 degF`."""
        return f"{self.value:g} {self.unit}".strip()


@dataclass(frozen=True, slots=True)
class TextPiece:
    """One word, number or mark: its terminal, what it means, and where in the text it stands."""

    terminal: str
    value: Any
    start: int
    end: int
    fresh: bool = False
    """Whether a new thing may be said from here on: somebody is named who does it, or a colon stands before."""
    ranges: bool = False
    """Whether two numbers are told, between which it lies."""

    @property
    def kind(self) -> str:
        """What sort of number it may be: an unsure one is of its unit's, a bare one may be a temperature."""
        kind = str(self.value) if self.terminal == "UNSURE" else self.terminal
        return "TEMP" if kind == "NUM" else kind


Pieces = tuple[TextPiece, ...]
"""Some of a text, one after another."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """The pieces of one sentence; `asked` if it ends with a question mark."""

    pieces: tuple[TextPiece, ...]
    asked: bool
    marked: bool = False
    """Whether a question mark stands at its end."""
