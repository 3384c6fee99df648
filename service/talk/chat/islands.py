"""What is clear in a clause with words that are not known: a sign, a smell, a cover, whatever was said beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final

from service.talk.chat.clause import Clause
from service.talk.chat.reading import Reading
from service.talk.chat.tokens import NUMBERS, Piece

Read = Callable[[tuple[Piece, ...]], Clause]

_CLEAR: Final = frozenset(
    {
        *(
            "/signs/-",
            "/not_seen/-",
            "/people/-",
            "/pile/wind",
            "/pile/cover",
            "/weather/rain",
            "/weather/sun",
            "/smell",
        ),
        *("/on_hand/-", "/pile/ingredients"),
    }
)
"""What is told by a word of its own, so that a strange word beside it makes it nothing else."""
_BESIDE: Final = frozenset(
    {"OTHER", "AND", "BUT", "WITH", "HEAP", "ON", "OF", "IN_HEAP", "INSIDE", "SURFACE", "HAVE", "NOW", "SIDE"}
)
"""What may stand unread beside an island; any other word could turn its meaning."""
_PLACES: Final = frozenset({"FROM", "SPAN", "ON", "OUTSIDE", "HOUSE"})
"""Words behind a sign that may say that it is not the heap's."""


def islands(pieces: tuple[Piece, ...], read: Read) -> list[Clause]:
    """The parts of a clause that can be read by themselves, and what lies between them; empty where there are none.

    A part with a number is no island: a strange word beside it may say what the number is of.
    """
    runs = list(_runs(pieces))
    if len(runs) < 2:
        return []
    clauses: list[Clause] = []
    for run, known in runs:
        clause = read(run) if known else None
        if clause is not None and clause.told is not None and _is_clear(clause, pieces):
            clauses.append(clause)
        elif all(piece.terminal in _BESIDE for piece in run):
            continue
        else:
            return []
    return clauses


def _runs(pieces: Sequence[Piece]) -> Iterator[tuple[tuple[Piece, ...], bool]]:
    """Runs of pieces with and without strange words, in order."""
    run: list[Piece] = []
    for piece in pieces:
        if run and (piece.terminal == "OTHER") != (run[-1].terminal == "OTHER"):
            yield tuple(run), run[-1].terminal != "OTHER"
            run = []
        run.append(piece)
    if run:
        yield tuple(run), run[-1].terminal != "OTHER"


def _is_clear(clause: Clause, pieces: Sequence[Piece]) -> bool:
    if any(piece.terminal in NUMBERS for piece in clause.pieces):
        return False
    pointers = {told.pointer for told in clause.told or () if isinstance(told, Reading)}
    if not pointers or not pointers <= _CLEAR:
        return False
    if "/smell" in pointers and not any(piece.terminal in ("SMELL", "NO") for piece in clause.pieces):
        return False
    place = pieces.index(clause.pieces[-1]) + 1
    behind = pieces[place] if place < len(pieces) else None
    return behind is None or not (clause.pieces[-1].terminal in _PLACES or str(behind.value) in _NEAR)


_NEAR: Final = frozenset(
    {"near", "by", "under", "below", "behind", "next", "inside", "at", "off", "beside", "for", "per"}
)
"""Strange words behind a sign that may say that it is elsewhere."""


_BEFORE_A_NAME: Final = frozenset(
    {"VOLUME", "YARDS", "MASS", "TONS", "PERCENT", "FRACTION", "PARTS", "CONTAINER", "OF", "MADE_OF", "MOSTLY"}
)
"""What stands before the name of a material, its attributes between."""


def without_attributes(pieces: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """The pieces without a strange word between an amount and a material, such as "5 yards of spruce chips"."""
    kept: list[Piece] = []
    for place, piece in enumerate(pieces):
        behind = pieces[place + 1] if place + 1 < len(pieces) else None
        attribute = piece.terminal == "OTHER" and behind is not None and behind.terminal == "MATERIAL"
        if not (attribute and kept and kept[-1].terminal in _BEFORE_A_NAME):
            kept.append(piece)
    return tuple(kept)
