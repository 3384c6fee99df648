"""What is clear in a clause that cannot be read whole: its facts, its head, its signs."""

from __future__ import annotations

from collections.abc import Sequence

from service.talk.chat.bearing import LISTS, pointers_of, why_unread
from service.talk.chat.clause import Clause
from service.talk.chat.compound_signs import signs_in
from service.talk.chat.interpreter import Interpreter
from service.talk.chat.islands import heads, islands
from service.talk.chat.reading import HeardValue
from service.talk.chat.statements import STATEMENT
from service.talk.chat.tokens import NUMBERS, TextPiece
from service.talk.chat.unknown_words import chunks


def clear(reader: Interpreter, pieces: tuple[TextPiece, ...]) -> list[Clause]:
    """What is clear in pieces that cannot be read whole."""
    around = not reader.spent and not reader.alarming(pieces)
    found = _stopped_first(reader, pieces, chunks(pieces, reader.clause, reader.left_over)) if around else []
    found = (
        found
        or _machines(reader, pieces)
        or _by_head(reader, pieces)
        or islands(pieces, reader.clause, reader.left_over)
    )
    return [*found, *_more_signs(reader, pieces, found)] if found else _compound(reader, pieces)


def _more_signs(reader: Interpreter, pieces: tuple[TextPiece, ...], found: Sequence[Clause]) -> list[Clause]:
    """Signs told in many words, of which some stand in what was left over: "gone grey and powdery like ash"."""
    left = [piece for clause in found if clause.told is None for piece in clause.pieces]
    told = {
        reading.value
        for clause in found
        for reading in clause.told or ()
        if isinstance(reading, HeardValue) and isinstance(reading.value, str)
    }
    signs = [
        sign
        for sign in signs_in(reader.text, pieces)
        if sign.value not in told and any(sign.start < each.end and each.start < sign.end for each in left)
    ]
    return [reader.interpreted((sign,), STATEMENT) for sign in signs]


def _stopped_first(reader: Interpreter, pieces: tuple[TextPiece, ...], found: list[Clause]) -> list[Clause]:
    """A fan or pump that is out of order is no draw that began: its sign for what else was made of those words."""
    signs = _machine_signs(reader, pieces)
    over = [clause for clause in found for sign in signs if any(_overlap(piece, sign) for piece in clause.pieces)]
    if not over:
        return found
    return [*(reader.interpreted((sign,), STATEMENT) for sign in signs), *(each for each in found if each not in over)]


def _overlap(piece: TextPiece, sign: TextPiece) -> bool:
    return piece.start < sign.end and sign.start < piece.end


def _machine_signs(reader: Interpreter, pieces: tuple[TextPiece, ...]) -> list[TextPiece]:
    """Signs of pipes, fan and power, told in many words."""
    of_machines = ("pipe_", "fan_", "power_", "no_flow")
    return [sign for sign in signs_in(reader.text, pieces) if str(sign.value).startswith(of_machines)]


def _machines(reader: Interpreter, pieces: tuple[TextPiece, ...]) -> list[Clause]:
    """The same where nothing else is clear: their cracks and drips are not the heap's."""
    return _compound(reader, pieces) if _machine_signs(reader, pieces) else []


def _compound(reader: Interpreter, pieces: tuple[TextPiece, ...]) -> list[Clause]:
    """Signs that the clause tells in many words; where it holds numbers too, those stay unread."""
    signs = [reader.interpreted((sign,), STATEMENT) for sign in signs_in(reader.text, pieces)]
    rest = [reader.left_over(pieces)] if any(piece.terminal in NUMBERS for piece in pieces) else []
    return [*signs, *rest] if signs else []


def _by_head(reader: Interpreter, pieces: tuple[TextPiece, ...]) -> list[Clause]:
    """The head of a clause, where what cannot be read behind it says itself what it is of."""
    for head, rest in heads(pieces):
        if reader.spent:
            break
        clause = reader.interpreted(head, STATEMENT)
        if clause.told is not None and not (clause.numeric and pointers_of(clause) & LISTS):
            return [clause, reader.unread(rest, why_unread(rest))]
    return []
