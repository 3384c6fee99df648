"""One clause of a message: its words, what it says where it was read, and what it casts doubt on where it was not."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from service.talk.chat.reading import Told
from service.talk.chat.tokens import NAMES, NUMBERS, ROLES, Pieces, TextPiece

_TAKES_BACK = frozenset({"DOUBT", "NO"})
_THEN = frozenset(
    {
        "WAS",
        "FELL",
        "AGO",
        "LAST",
        "SINCE",
        "YESTERDAY",
        "DAY_BEFORE",
        "WEEKDAY",
        "DAY",
        "WISH",
        "ELSEWHERE",
        "REACHED",
        "BY",
        "BEFORE",
        "SHRUNK",
    }
)
"""Words of a clause that speaks of another time: it casts no doubt on what was read now."""


_COUNTED: Final = frozenset({"CONTAINER", "OTHER", "SIGN", "PROBE", "HEAP", "FAN", "PUMP"})
_NOTHING_ELSE: Final = frozenset(
    {*NUMBERS, "DOUBT", "NO", "NOW", "COMMA", "AND", "BUT", "TURN", "VAGUE", "TO", "ON", "RUNS"}
)
"""Words beside a number that say nothing of what it is of."""


@dataclass(frozen=True, slots=True)
class Clause:
    """One clause. `told` is None where it was not read, and `why` says so; `corrects` if it takes something back.

    `aside` marks a question: it is no report, and doubts nothing.
    """

    pieces: tuple[TextPiece, ...]
    text: str
    told: tuple[Told, ...] | None
    why: str = ""
    corrects: bool = False
    aside: bool = False

    @property
    def numeric(self) -> bool:
        """Whether a number stands in it."""
        return any(piece.terminal in NUMBERS for piece in self.pieces)

    @property
    def kinds(self) -> frozenset[str]:
        """Kinds of its numbers."""
        return frozenset(piece.kind for piece in self._measured)

    @property
    def _measured(self) -> list[TextPiece]:
        """Its numbers, without those that count things: "3 bags", "3 spots"."""
        behind = (*self.pieces[1:], None)
        return [
            piece
            for piece, after in zip(self.pieces, behind, strict=True)
            if piece.terminal in NUMBERS and not (piece.terminal == "NUM" and after and after.terminal in _COUNTED)
        ]

    @property
    def names(self) -> frozenset[str]:
        """What its numbers are of."""
        return frozenset(NAMES[piece.terminal] for piece in self.pieces if piece.terminal in NAMES)

    @property
    def dangling(self) -> bool:
        """Whether it names more things than it has numbers: one of them may belong to a number elsewhere."""
        felt = any(piece.terminal == "FEEL" for piece in self.pieces)
        idle = {"FAN", "PUMP", "PROBE", *(("INSIDE",) if felt else ())}
        named = sum(piece.terminal in NAMES and piece.terminal not in idle for piece in self.pieces)
        return named > sum(piece.terminal in NUMBERS for piece in self.pieces)

    @property
    def visits(self) -> bool:
        """Whether it tells no more than that somebody was in the house: "went into the greenhouse and felt dizzy"."""
        ends = {self.pieces[0].terminal, self.pieces[-1].terminal}
        return not self.numeric and self.names == {"HOUSE"} and "HOUSE" not in ends

    @property
    def stray(self) -> frozenset[str]:
        """Kinds of which it has more numbers than words that say what they are of."""
        words = Counter(piece.terminal for piece in self.pieces)
        kinds = Counter(piece.kind for piece in self._measured)
        return frozenset(kind for kind in kinds if kinds[kind] > sum(words[role] for role in ROLES.get(kind, ())))

    @property
    def then(self) -> bool:
        """Whether it speaks of another time than now."""
        return any(piece.terminal in _THEN or piece.value == "which-day" for piece in self.pieces)

    @property
    def doubts(self) -> bool:
        """Whether it begins by taking back, or putting in doubt, what came before."""
        return self.pieces[0].terminal in _TAKES_BACK

    @property
    def bare(self) -> bool:
        """Whether nothing in it says what its number is of, nor that it is of something else."""
        return not self.then and all(piece.terminal in _NOTHING_ELSE for piece in self.pieces)

    @property
    def turns(self) -> bool:
        """Whether a word in it turns what stands beside it."""
        return any(piece.terminal in ("DOUBT", "TURN", "VAGUE", "UNSURE") for piece in self.pieces)

    @property
    def of_now(self) -> bool:
        """Whether it says that it is so now."""
        return any(piece.terminal == "NOW" for piece in self.pieces)

    @property
    def of_the_heap(self) -> bool:
        """Whether heap or probe are named beside its number."""
        return any(piece.terminal in ("HEAP", "IN_HEAP", "PROBE") for piece in self.pieces)

    @property
    def takes_back(self) -> bool:
        """Whether a word in it takes something back."""
        return any(piece.terminal in _TAKES_BACK for piece in self.pieces)


ReadClause = Callable[[Pieces], Clause]
"""Reads a clause, or says why it cannot be read."""
