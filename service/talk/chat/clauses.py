"""From a message to what it says: clause by clause, each read whole and in one way, or left unread and named."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

from rules.catalogue import said
from service.talk.chat.asides import is_untold, without_question
from service.talk.chat.bearing import (
    LISTS,
    bearing,
    goes_on_with_another,
    is_bare_list,
    is_bare_span,
    is_bare_stock,
    is_list,
    is_more_of_a_dose,
    is_of_the_house,
    is_open,
    is_span_of_another,
    pointers_of,
)
from service.talk.chat.clause import Clause
from service.talk.chat.clear_facts import clear
from service.talk.chat.corrections import said_before, takes_back, without_denied
from service.talk.chat.doubt import without_doubtful
from service.talk.chat.essentials import as_heap, with_contents, without_asides, without_attributes
from service.talk.chat.interpreter import Interpreter
from service.talk.chat.joining import carried_on, righted, under_heading
from service.talk.chat.lexer import sentences
from service.talk.chat.parts.second_reading import by_parts
from service.talk.chat.plain_text import plain
from service.talk.chat.reading import Gap, Setting
from service.talk.chat.segments import here_and_elsewhere, segments, softly
from service.talk.chat.statements import STATEMENT
from service.talk.chat.subjects import of_the_heap_alone
from service.talk.chat.tokens import Sentence, TextPiece, WrittenNumber
from service.talk.chat.typos import mended
from service.units.quantities import parse_quantity

_HEADINGS = frozenset({"SMELL", "AGE", "CORE", "OUTSIDE", "OUTER", "SIZE", "COVER", "FAN", "PUMP", "HOUSE", "MOISTURE"})
"""What people put before their answer as if it were asked."""
_GOALS = frozenset({"/greenhouse/night_target", "/goal/keep_core_above", "/goal/until"})
_WANTING = frozenset({"want", "wants", "wish", "hope", "hoping", "ideally", "goal", "aim", "aiming", "would", "should"})
"""Words of wishes that say what the heap is for."""
_FITTED = frozenset({"HOUSE", "INLET", "OUTLET", "FAN", "PUMP"})
"""What is no place of the heap: named by itself it takes no number away from the heap."""
_THERE = frozenset({"in there", "in it"})
_AT_LEAST = frozenset({"at least", "more than"})
MILDEST_HEAP_C = 25.0
"""No heap is kept at this or less: it is a house (our own) [degC]."""
_SPOKEN_OF = frozenset({"HOUSE", "HEAP", "CORE"})
_SINCE_WHAT = said("chat.which-number")
_BESIDE_IT = said("chat.beside")
_NOT_NOW = said("chat.not-now")


def clauses(text: str, setting: Setting, asked: str | None = None) -> list[Clause]:
    """The clauses of a message. `asked` is the field of the question that the first of them may answer shortly."""
    text, _ = mended(plain(text))
    found: list[Clause] = []
    interpreter = Interpreter(text, setting, asked)
    reader = _Reader(interpreter)
    heading: tuple[TextPiece, ...] = ()
    begins = 0
    for sentence in sentences(text):
        if sentence.asked and len(sentence.pieces) == 1 and sentence.pieces[0].terminal in _HEADINGS:
            heading = sentence.pieces  # "Smell? nothing."
            continue
        before = len(found)
        found = reader.read(replace(sentence, pieces=(*heading, *sentence.pieces)), found)
        ends = _end_of_sentence(text, max(piece.end for piece in sentence.pieces))
        found[before:] = by_parts(interpreter, found[:before], found[before:], (begins, ends))
        heading, begins = (), ends
    return without_doubtful(list(of_the_heap_alone(text, found)))


def _end_of_sentence(text: str, place: int) -> int:
    """Where the idle words behind the last piece of a sentence end: "20 yards all told"."""
    return min((found for mark in ".!?;\n" if (found := text.find(mark, place)) >= 0), default=len(text))


def _is_mild(number: WrittenNumber) -> bool:
    """Whether a temperature is one at which no heap is kept; of unknown scale it is not known."""
    return number.unit != "?" and parse_quantity(str(number), ("temperature",), "metric").si <= MILDEST_HEAP_C


def _feels_inside(clause: Clause) -> bool:
    """Whether it tells how wet it is inside, and not inside of what: "everything inside drips"."""
    names = {piece.terminal for piece in clause.pieces}
    return pointers_of(clause) == {"/moisture_feel"} and "INSIDE" in names and not names & {"HEAP", "CORE", "IN_HEAP"}


class _Reader:
    """Reads the sentences of one message, each clause by what was said before it."""

    def __init__(self, reader: Interpreter) -> None:
        self._reader = reader
        self._spoken_of = ""

    def read(self, sentence: Sentence, before: list[Clause]) -> list[Clause]:
        """The clauses so far, those of this sentence behind them."""
        told, question = without_question(sentence)
        found, first = list(before), len(before)
        here, elsewhere = here_and_elsewhere(without_denied(said_before(self._pointed(told))))
        for pieces in segments(as_heap(without_attributes(without_asides(here)))):
            if is_untold(pieces):
                found.append(Clause(pieces, self._reader.quoted(pieces), ()))
                continue
            if any(piece.terminal == "WISH" for piece in pieces):
                found += self._beside_a_wish(pieces)
                continue
            put = righted(self._reader, found[-1], pieces) if found else None
            if put is not None:
                found[-1] = put
                continue
            headed = under_heading(self._reader, found[first:], pieces)
            if headed is not None:
                found[-1] = headed
                continue
            clause = self._reader.clause(pieces, short=not found)
            may_join = len(found) > first or (bool(found) and pieces[0].terminal == "WAS")
            if may_join and (
                clause.told is None
                or is_open(clause)
                or all(isinstance(told, Gap) for told in clause.told)
                or (is_list(clause) and (found[-1].told is None or is_list(found[-1])))
            ):
                joined = carried_on(self._reader, found, first, pieces)
                if joined is not None:
                    found = joined
                    if is_of_the_house(found[-1], found[:-1]):
                        found[-1] = self._as_house(found[-1].pieces)
                    continue
            if clause.told is not None and is_of_the_house(clause, found):
                clause = self._as_house(pieces)
            if found and is_bare_stock(clause, found[-1]):
                clause = self._reader.unread(pieces, said("chat.heap-or-hand"))
                found.append(clause)
                continue
            if found and clause.told is not None and takes_back(found[-1].pieces):
                clause = replace(clause, corrects=True)
            alone = self._reader.alone(pieces, found) if clause.told is None else []
            found += [clause] if clause.told is not None else alone or self._parted(pieces, clause, found)
        found += [self._reader.unread(elsewhere, _NOT_NOW)] if elsewhere else []
        found[first:] = [self._of_the_heap(each, found[first:]) for each in found[first:]]
        if self._spoken_of == "HOUSE":
            asked = said("chat.inside-what")
            found[first:] = [
                self._reader.unread(each.pieces, asked) if _feels_inside(each) else each for each in found[first:]
            ]
        return [*found, self._question(question)] if question else found

    def _of_the_heap(self, clause: Clause, beside: Sequence[Clause]) -> Clause:
        """The clause, unread where what it tells may go on with what was told of the house or of another thing."""
        before = next((each for each, behind in itertools.pairwise(beside) if behind is clause), None)
        if before is not None and is_span_of_another(clause, before, self._reader.text):
            return self._reader.unread(clause.pieces, said("chat.how-long-is-what"))
        if before is not None and is_more_of_a_dose(clause, before, self._reader.text):
            return self._reader.unread(clause.pieces, said("chat.heap-or-hand"))
        if before is None or not goes_on_with_another(clause, before, self._reader.text):
            return clause
        return self._reader.unread(clause.pieces, said("chat.inside-what"))

    def _pointed(self, pieces: tuple[TextPiece, ...]) -> tuple[TextPiece, ...]:
        """The pieces with "in there" as the house, where that was spoken of last and not the heap.

        What is to be kept at 25 degC or less is no heap either, and "at least" is then its limit.
        """
        if len(pieces) > 1 and pieces[0].terminal == "ON_HAND" and pieces[1].fresh:
            pieces = (replace(pieces[0], terminal="HAVE"), *pieces[1:])  # "to hand: straw and a tarp"
        pieces = with_contents(pieces)
        told: list[TextPiece] = []
        keeps = any(piece.terminal in ("KEEP", "TARGET") or piece.value in _WANTING for piece in pieces)
        mild = keeps and any(piece.terminal == "TEMP" and _is_mild(piece.value) for piece in pieces)
        heap = any(piece.terminal in ("HEAP", "CORE") for piece in pieces)
        for piece in pieces:
            there = piece.terminal == "IN_HEAP" and piece.value in _THERE
            if piece.terminal == "SIZE" and self._spoken_of == "HOUSE" and not heap:
                told.append(replace(piece, terminal="HOUSE" if told else "TURN"))  # "greenhouse, volume 45 m3"
            elif there and (self._spoken_of == "HOUSE" or (mild and not heap)):
                told.append(replace(piece, terminal="HOUSE"))
            elif keeps and piece.terminal == "VAGUE" and self._reader.quoted((piece,)) in _AT_LEAST:
                told.append(replace(piece, terminal="ABOVE"))
            else:
                told.append(piece)
            self._spoken_of = piece.terminal if piece.terminal in _SPOKEN_OF else self._spoken_of
        return tuple(told)

    def _as_house(self, pieces: tuple[TextPiece, ...]) -> Clause:
        """Measures as those of the house, or unread: they are of no heap."""
        house = TextPiece("HOUSE", "house", pieces[0].start, pieces[0].start)
        clause = self._reader.interpreted((house, *pieces), STATEMENT)
        return clause if clause.told is not None else self._reader.unread(pieces, said("chat.house-or-heap"))

    def _question(self, pieces: tuple[TextPiece, ...]) -> Clause:
        """What is asked and no report: it says nothing of the heap and so doubts nothing."""
        return replace(self._reader.unread(pieces, said("chat.a-question")), aside=True)

    def _beside_a_wish(self, pieces: tuple[TextPiece, ...]) -> list[Clause]:
        """What stands before a wish and is joined to it is read; from the wish on nothing is."""
        wish = next(place for place, piece in enumerate(pieces) if piece.terminal == "WISH")
        wanted = self._wanted(pieces, wish)
        if wanted:
            return wanted
        joint = max((place for place in range(wish) if pieces[place].terminal in ("AND", "BUT")), default=None)
        if joint is None:
            return [self._reader.unread(pieces, _NOT_NOW)]
        before = self._reader.clause(pieces[:joint]) if joint else None
        return [*([before] if before else []), self._reader.unread(pieces[joint + 1 :], _NOT_NOW)]

    def _wanted(self, pieces: tuple[TextPiece, ...], wish: int) -> list[Clause]:
        """What is wanted of house and heap, read as what is to be kept: "I want 7 C at night"."""
        if pieces[wish].value not in _WANTING:
            return []
        kept = any(piece.terminal == "KEEP" for piece in pieces)
        keep = () if kept else (replace(pieces[wish], terminal="KEEP"),)
        keeping = (*pieces[:wish], *keep, *pieces[wish + 1 :])
        clause = self._reader.clause(keeping)
        wanted = [clause] if clause.told is not None else clear(self._reader, keeping)
        goals = {pointer for each in wanted for pointer in pointers_of(each)}
        unsure = any(each.told is None and each.numeric for each in wanted)
        return wanted if goals and goals <= _GOALS and not unsure else []

    def _parted(self, pieces: tuple[TextPiece, ...], whole: Clause, before: Sequence[Clause]) -> list[Clause]:
        """The parts between `and` and `but`, where what stays unread cannot bear on what is read."""
        parts = [clause for part in softly(pieces) for clause in self._part(part, before)]
        unread = [part for part in parts if part.told is None]
        covers = any("/pile/cover" in pointers_of(part) for part in parts)
        added = any(piece.terminal in ("ADDED", "PUT") for piece in pieces)
        if unread or covers or added:  # what things are named beside could say where they are
            parts = [
                self._reader.unread(part.pieces, said("chat.heap-or-hand"))
                if is_bare_list(part) or (added and is_list(part) and part is not parts[0])
                else part
                for part in parts
            ]
            unread = [part for part in parts if part.told is None]
        if unread:
            parts = [self._reader.unread(each.pieces, _SINCE_WHAT) if is_bare_span(each) else each for each in parts]
            unread = [part for part in parts if part.told is None]
        lists = any(part.numeric and pointers_of(part) & LISTS for part in parts)
        if lists or len(unread) == len(parts) or any(part.doubts for part in unread):
            return clear(self._reader, pieces) or [whole]
        kept: list[Clause] = []
        on_all, kinds = bearing(unread, parts)
        of_machines = on_all and not bearing([part for part in unread if not part.names <= _FITTED], parts)[0]
        for part in parts:
            borne_on = (
                part.told is not None
                and part.numeric
                and ((on_all and not (of_machines and part.of_the_heap)) or bool(kinds & part.kinds))
            )
            found = clear(self._reader, part.pieces) if part.told is None else []
            kept += [self._reader.unread(part.pieces, _BESIDE_IT)] if borne_on else found or [part]
        return kept

    def _part(self, pieces: tuple[TextPiece, ...], before: Sequence[Clause]) -> list[Clause]:
        """A part of a clause, read as a statement, or as a number that stands by itself and what is said behind it."""
        if is_untold(pieces):
            return [Clause(pieces, self._reader.quoted(pieces), ())]
        clause = self._reader.clause(pieces)
        alone = self._reader.alone(pieces, before) if clause.told is None else []
        return alone or [clause]
