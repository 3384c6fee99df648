"""What of a sentence was left unread, read by its parts: numbers by place, kind and time, words by what they are of."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final

from rules.catalogue import said
from service.talk.chat.bearing import is_list, pointers_of
from service.talk.chat.clause import Clause
from service.talk.chat.grammar import LONE
from service.talk.chat.interpreter import Interpreter
from service.talk.chat.lexer import INVERTED as _INVERTED
from service.talk.chat.lexer import all_pieces
from service.talk.chat.parts.concepts import with_concepts
from service.talk.chat.parts.happenings import happenings
from service.talk.chat.parts.makings import makings
from service.talk.chat.parts.measures import measures
from service.talk.chat.parts.part import JOINTS, Around, OrderedFact, SentencePart, in_text, parts_of
from service.talk.chat.parts.run_ons import runs_of
from service.talk.chat.parts.senses import senses
from service.talk.chat.parts.temperatures import temperature_readings
from service.talk.chat.parts.works import works
from service.talk.chat.reading import Gap, HeardValue
from service.talk.chat.statements import STATEMENT
from service.talk.chat.tokens import NUMBERS, Pieces, TextPiece, WrittenNumber

FRAMES: Final[tuple[Callable[[list[SentencePart], Around], Iterator[OrderedFact]], ...]] = (
    happenings,
    works,
    makings,
    measures,
    senses,
    temperature_readings,
)
_TELLING: Final = frozenset(
    {
        *NUMBERS,
        *(
            "FEEL",
            "SMELL_KIND",
            "SIGN",
            "SYMPTOM",
            "MATERIAL",
            "SUPPLY",
            "WIND",
            "SKY",
            "RAIN",
            "COVER_KIND",
            "NO_COVER",
        ),
        *("GLAZING", "TUBE", "LOOP_KIND", "AIR_PATH", "AIR_TO", "AIR_FROM", "CONTROL", "WISH", "ELSEWHERE", "TURN"),
        *("WATERED", "ADDED", "TURNED", "TOPPED_UP", "REFUSED", "NO", "ALWAYS", "OFF", "COVERED", "SEASON", "PREFER"),
        *("MEASURES", "TALL", "FRACTION", "RATIO", "WEEKDAY", "DAY", "MONTH", "VAGUE", "DOUBT", "SMELL", "BUILT"),
    }
)
"""What must be named where it is left over."""
_TAG: Final = re.compile(r"[, ]*(?:ok|okay|right|yes|no|eh|correct|innit|isn't it|is that (?:ok|right))\s*\?")
"""What asks at the end of a report for no more than a yes."""
_CLEFT: Final = re.compile(
    r"what (?:i|we|came|comes|you|it|she|he|they|the \w+|my|runs|ran|sticks)\b[^?]*\b(?:is|was|are|were|'s)\b"
)


def by_parts(reader: Interpreter, before: Sequence[Clause], told: list[Clause], span: tuple[int, int]) -> list[Clause]:
    """The clauses of a sentence, of which what was left unread is read by its parts where that can be done."""
    unread = [clause for clause in told if clause.told is None and not _is_question(reader.text, clause)]
    gaps = [clause for clause in told if clause.told and all(isinstance(each, Gap) for each in clause.told)]
    when = said("chat.when-done")
    undated = [each for clause in gaps for each in clause.told or () if isinstance(each, Gap) and each.why == when]
    if not (unread or undated) or reader.spent:
        return told
    told = _without_bare_smell(reader, told)
    unread += [clause for clause in told if clause.told is None and clause not in unread and not clause.aside]
    unread += gaps
    taken = [_span(clause) for clause in told if clause.told is not None and clause not in gaps]
    taken += [_span(clause) for clause in told if clause.told is None and clause not in unread]
    begins, ends = span
    pieces = tuple(
        _unlikened(reader.text, list(with_concepts(reader.text, list(all_pieces(reader.text[:ends], begins)))))
    )
    parts = [run for part in parts_of(pieces, taken) for run in runs_of(part)]
    _cut_off(parts)
    open_parts = [part for part in parts if not part.blocked]
    told_signs = _signs_within(pieces, told, taken)
    around = Around(
        reader.setting,
        pieces,
        frozenset(pointer for clause in told for pointer in pointers_of(clause)),
        frozenset(pointer for clause in before for pointer in pointers_of(clause)),
        tuple(
            each
            for clause in (*before, *told)
            for each in clause.told or ()
            if isinstance(each, HeardValue) and each.pointer == "/done/-"
        ),
    )
    found: list[tuple[Clause, OrderedFact]] = list(_whole_runs(reader, open_parts, [*before, *told]))
    for facts in (*(frame(open_parts, around) for frame in FRAMES), told_signs):
        for fact in facts:
            if any(id(piece) in part.used for part in parts for piece in fact.evidence):
                continue
            clause = reader.interpreted(fact.pieces, LONE if fact.lone else STATEMENT)
            clause = clause if fact.told is None else replace(clause, told=fact.told)
            if clause.told is None:
                continue
            evidence = in_text(fact.evidence)
            found.append((replace(clause, text=reader.quoted(evidence)), fact))
            for part in parts:
                part.used |= {id(piece) for piece in fact.evidence if piece in part.pieces}
    if not found:
        return told
    used = {id(piece) for _, fact in found for piece in fact.evidence}
    clauses = [
        left for clause in told for left in (_left(reader, clause, pieces, used) if clause in unread else [clause])
    ]
    clauses += [clause for clause, _ in found]
    return sorted(clauses, key=lambda clause: _span(clause)[0])


_BETWEEN: Final = re.compile(r"\d ?[°cf]{0,2} ?-?(?:>|→)$")
_ABLE: Final = frozenset({"can", "will"})
_SUBJECT: Final = re.compile(r"\b(?:i|we|you|he|she|they|it|one|fan|pump)\s*$")
_MEASURED: Final = re.compile(
    r"\b(?:i|we) (?:only |just |have |then |finally |went and )*"
    r"(?:measured|took|checked|probed|tested|stuck|pushed|dug|poked|read|looked)\b"
)
"""Who tells what was measured tells it in the past, and means now."""


_SIDES: Final = ("WIDE", "HIGH", "LONG")


def _with_units(pieces: Sequence[TextPiece]) -> Iterator[TextPiece]:
    """The pieces with the unit of the length before for a bare number that is a side: "2.5 m wide 6 long 1.5 high"."""
    told = [piece for piece in pieces if piece.terminal != "DROPPED"]
    units = {piece.value.unit for piece in told if piece.terminal == "LENGTH"}
    sides = {id(number) for number, side in pairwise(told) if number.terminal == "NUM" and side.terminal in _SIDES}
    for piece in pieces:
        if id(piece) in sides and len(units) == 1:
            yield replace(piece, terminal="LENGTH", value=WrittenNumber(piece.value.value, *units))
        else:
            yield piece


_SMALL: Final = {"at": "at", **dict.fromkeys(("it", "it's", "its"), "it")}
"""Idle words that a frame asks for."""
_GOT: Final = re.compile(r"(?:i|we) (?:just |also |only )?got(?: me| us)?")


def _is_thing_next(text: str, pieces: Sequence[TextPiece], place: int) -> bool:
    """Whether a thing, or how much of one, is named next: "I got urea", and not "I got 54 C"."""
    behind = (piece for piece in pieces[place + 1 :] if piece.terminal != "DROPPED")
    return getattr(next(behind, None), "terminal", "") in ("MATERIAL", "SUPPLY", "CONTAINER", "MASS")


def _unlikened(text: str, pieces: Sequence[TextPiece]) -> Iterator[TextPiece]:
    """The pieces with what is named for its likeness alone as a strange word: "feels like garden soil"."""
    then = any(piece.terminal in ("AGO", "WEEKDAY", "YESTERDAY", "LAST", "DAY") for piece in pieces)
    told_now = not then and _MEASURED.search(text) is not None
    pieces = list(_with_units(pieces))
    for place, piece in enumerate(pieces):
        written = text[piece.start : piece.end]
        if written.isspace():
            continue
        if piece.terminal == "DROPPED" and _GOT.fullmatch(written) and _is_thing_next(text, pieces, place):
            yield replace(piece, terminal="HAVE")
            continue
        if piece.terminal == "ASKS" and piece.value in _ABLE and _SUBJECT.search(text, 0, piece.start):
            yield replace(piece, terminal="DROPPED")
            continue
        if (
            piece.terminal == "OTHER"
            and piece.value in (">", "→")
            and _BETWEEN.search(text, max(0, piece.start - 9), piece.end)
        ):
            yield replace(piece, terminal="TO")
            continue
        if piece.terminal == "WAS" and told_now:
            yield replace(piece, terminal="DROPPED")
            continue
        if piece.terminal == "DROPPED" and written in _SMALL:
            yield replace(piece, value=_SMALL[written])
            continue
        alike = piece.terminal in ("MATERIAL", "SUPPLY") and text[: piece.start].rstrip().endswith((" like", " like a"))
        yield replace(piece, terminal="OTHER", value="like") if alike else piece


def _without_bare_smell(reader: Interpreter, told: list[Clause]) -> list[Clause]:
    """The clauses, "it smells" as unread where what it smells of was not read right behind it."""
    kept = list(told)
    for place, clause in enumerate(told[:-1]):
        bare = clause.told is not None and {piece.terminal for piece in clause.pieces} <= {"SMELL", "HEAP"}
        behind = told[place + 1]
        near = "," not in reader.text[_span(clause)[1] : _span(behind)[0]]
        if bare and behind.told is None and near and not behind.numeric:
            kept[place] = reader.unread(clause.pieces, said("chat.smells-of"))
    return kept


_MINE: Final = re.compile(r"(?:mine|mines|mine's|ours|my |our )")


def _signs_within(pieces: Pieces, told: Sequence[Clause], taken: Sequence[tuple[int, int]]) -> Iterator[OrderedFact]:
    """Signs told in many words that nothing was made of, in a clause of which something else was read."""
    known = [
        piece for clause in told if clause.told is not None for piece in clause.pieces if piece.terminal != "OTHER"
    ]
    for part in parts_of(pieces, []):
        for sign in part.all("SIGN"):
            within = any(start <= sign.start < end for start, end in taken)
            made = any(piece.start < sign.end and sign.start < piece.end for piece in known)
            if within and not made and not part.denied(sign) and not part.has("TURN", "DOUBT", "WAS", "NO"):
                yield OrderedFact((sign,), (sign,))


def _cut_off(parts: list[SentencePart]) -> None:
    """From where another heap or time is spoken of nothing is read, up to a "but"."""
    away = False
    for part in parts:
        mine = any(piece.terminal == "HEAP" and _MINE.match(str(piece.value)) for piece in part)
        away = ((away and part.joint != "BUT") or part.has("ELSEWHERE")) and not (mine and not part.has("ELSEWHERE"))
        if away:
            part.pieces = tuple(replace(piece, terminal="ELSEWHERE") for piece in part.pieces[:1]) + part.pieces[1:]


def _is_question(text: str, clause: Clause) -> bool:
    """Whether a clause asks; "what came out was crumbs" does not."""
    if not clause.aside:
        return False
    start, end = _span(clause)
    asks = text[end : end + 2].strip()[:1] == "?"
    first = clause.pieces[0]
    if first.terminal == "ASKS" and first.value in ("which", "where") and text[:start].rstrip().endswith(","):
        return False
    if first.terminal == "ASKS" and first.value in _ABLE and _SUBJECT.search(text, 0, start):
        return asks
    if _TAG.match(text, end) and not any(piece.terminal in ("ASKS", "ASKS_HERE", "WISH") for piece in clause.pieces):
        return _INVERTED.match(text, start) is not None
    return asks or _CLEFT.match(text, start, end) is None


def _span(clause: Clause) -> tuple[int, int]:
    return min(piece.start for piece in clause.pieces), max(piece.end for piece in clause.pieces)


def _whole_runs(
    reader: Interpreter, parts: Sequence[SentencePart], before: Sequence[Clause]
) -> Iterator[tuple[Clause, OrderedFact]]:
    """The runs of a part that say a whole thing as they stand: "120 yesterday 112 now", before "no smell"."""
    for place, part in enumerate(parts):
        behind = parts[place + 1] if place + 1 < len(parts) else None
        pieces = tuple(piece for piece in part if piece.terminal != "DROPPED")
        parted = part.joint == "RUN" or (behind is not None and behind.joint == "RUN")
        if not parted or not pieces or reader.spent:
            continue
        clause = reader.interpreted(pieces, STATEMENT)
        read = [clause] if clause.told is not None else reader.alone(pieces, before)
        if len(read) == 1 and not is_list(read[0]):  # what else there is may stand in the next
            part.used |= {id(piece) for piece in part}
            yield read[0], OrderedFact(pieces, pieces)


def _left(reader: Interpreter, clause: Clause, pieces: Pieces, used: set[int]) -> Iterator[Clause]:
    """What is still to be named of a clause: the stretches between joints where something was not read."""
    start, end = _span(clause)
    inside = [piece for piece in pieces if start <= piece.start and piece.end <= end]
    if not any(id(piece) in used for piece in inside):
        yield clause
        return
    stretch: list[TextPiece] = []
    for piece in (*inside, None):
        if piece is not None and piece.terminal not in JOINTS:
            stretch.append(piece)
            continue
        told = [each for each in stretch if each.terminal != "DROPPED"]
        if any(each.terminal in _TELLING and id(each) not in used for each in stretch):
            yield reader.left_over(tuple(each for each in told if id(each) not in used))
        stretch = []
