"""A clause that goes on with the one before it: more of a list, a further reading, a number put right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from service.talk.chat.clause import Clause
from service.talk.chat.corrections import put_right
from service.talk.chat.interpreter import Interpreter
from service.talk.chat.statements import STATEMENT
from service.talk.chat.tokens import NUMBERS, TextPiece

_PLACES = frozenset({"HOUSE", "SIDE", "CORE", "OUTER", "OUTSIDE", "FAN", "PUMP", "PROBE", "TONIGHT", "HUMIDITY"})
"""What a heading may name."""


def carried_on(
    reader: Interpreter, found: list[Clause], first: int, pieces: tuple[TextPiece, ...]
) -> list[Clause] | None:
    """The clauses with the last one carried on; a list that needs all its parts may have begun before that."""
    if any(piece.terminal == "REST" for piece in pieces):
        return _as_the_rest(reader, found, first, pieces)
    joined = _joined(reader, found[-1], pieces)
    if joined is not None:
        return [*found[:-1], joined]
    begun = len(found) - 2
    if begun < first or found[-1].told is not None or found[begun].told is not None:
        return None
    comma = TextPiece("COMMA", ",", found[-1].pieces[0].start, found[-1].pieces[0].start)
    whole = replace(found[begun], pieces=(*found[begun].pieces, comma, *found[-1].pieces))
    joined = _joined(reader, whole, pieces)
    return None if joined is None else [*found[:begun], joined]


def _as_the_rest(
    reader: Interpreter, found: list[Clause], first: int, pieces: tuple[TextPiece, ...]
) -> list[Clause] | None:
    """All the shares right before joined to the thing that is the rest of them."""
    begun = len(found)
    while begun > first and found[begun - 1].told is None and _shares(found[begun - 1]):
        begun -= 1
    if begun == len(found):
        return None
    whole: tuple[TextPiece, ...] = found[begun].pieces
    for clause in found[begun + 1 :]:
        whole = (*whole, TextPiece("COMMA", ",", clause.pieces[0].start, clause.pieces[0].start), *clause.pieces)
    joined = _joined(reader, replace(found[begun], pieces=whole), pieces)
    return None if joined is None else [*found[:begun], joined]


def under_heading(reader: Interpreter, found: Sequence[Clause], pieces: tuple[TextPiece, ...]) -> Clause | None:
    """What is told behind a clause that does no more than name a place: "glass house, 3 m by 5 m"."""
    heading = found[-1] if found else None
    deep = _felt_there(reader, heading, pieces) if heading is not None else None
    if deep is not None:
        return deep
    if heading is None or heading.numeric or not any(piece.terminal in NUMBERS for piece in pieces):
        return None
    place = [piece for piece in heading.pieces if piece.terminal in _PLACES]
    named = any(piece.terminal in _PLACES or piece.terminal == "HEAP" for piece in pieces)
    more = any(piece.terminal not in _PLACES | {"GLAZING", "OTHER", "IN_HEAP"} for piece in heading.pieces)
    if len(place) != 1 or named or more:
        return None
    kept = [piece for piece in heading.pieces if piece.terminal in (place[0].terminal, "GLAZING")]
    clause = reader.interpreted((*kept, *pieces), STATEMENT)
    if clause.told is None or not any(piece.terminal in NUMBERS for piece in clause.pieces):
        return None
    return replace(clause, text=reader.quoted((*heading.pieces, *pieces)))


def _felt_there(reader: Interpreter, heading: Clause, pieces: tuple[TextPiece, ...]) -> Clause | None:
    """How it feels behind a clause that does no more than say how deep somebody dug."""
    depth = [piece for piece in heading.pieces if piece.terminal not in ("OTHER", "TURNED", "SPAN")]
    where = len(depth) == 1 and depth[0].terminal in ("INSIDE", "SURFACE") and heading.told is None
    feel = [piece.terminal for piece in pieces] == ["FEEL"]
    if not (where and feel):
        return None
    return replace(reader.interpreted((*depth, *pieces), STATEMENT), text=reader.quoted((*heading.pieces, *pieces)))


def _joined(reader: Interpreter, clause: Clause, pieces: tuple[TextPiece, ...]) -> Clause | None:
    """The clause before, carried on by these pieces: a further reading, or more of a list."""
    comma = TextPiece("COMMA", ",", pieces[0].start, pieces[0].start)
    joined = reader.interpreted((*clause.pieces, comma, *pieces), STATEMENT)
    return None if joined.told is None else replace(joined, corrects=clause.corrects)


def righted(reader: Interpreter, before: Clause, pieces: tuple[TextPiece, ...]) -> Clause | None:
    """The clause before with the number that these pieces put in the place of its own."""
    put = put_right(before.pieces, pieces) if before.told is not None else None
    clause = None if put is None else reader.interpreted(put, STATEMENT)
    return None if clause is None or clause.told is None else replace(clause, corrects=True)


def _shares(clause: Clause) -> bool:
    """Whether a clause tells the share of a thing."""
    return any(piece.terminal in ("PERCENT", "FRACTION") for piece in clause.pieces)
