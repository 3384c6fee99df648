"""One clause: read whole, around what is not known, in the order it has, or as a number that stands by itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rules.catalogue import said
from rules.tables.alarm_words import is_alarm
from service.talk.chat.bearing import (
    is_bare_list,
    names_beside,
    pointers_of,
    sizes_the_house,
    snows,
    why_unread,
)
from service.talk.chat.clause import Clause
from service.talk.chat.corrections import as_denial, is_correction
from service.talk.chat.grammar import ANSWERS, LONE
from service.talk.chat.hedges import asked_back
from service.talk.chat.meaning_lone import LONE_TEMPERATURE
from service.talk.chat.reading import HeardValue, Setting, Told, Unclear
from service.talk.chat.statements import STATEMENT, told_by, ways
from service.talk.chat.tokens import TextPiece
from service.talk.chat.unknown_words import without_owned, without_strangers
from service.talk.chat.word_order import in_order

MOST_PIECES = 400
"""Pieces that are tried in one message, those tried twice counted twice: many times what people write (our own)."""
COST_OF_A_TRY = 4
"""What a try at a clause costs by itself, in pieces (measured)."""
_CORES = frozenset({"/temperatures/core", "/history/-"})
_READ_IN = frozenset({"HEAP", "PROBE", "IN_HEAP"})
"""Where one of these is named a number is no strange thing's."""
_MEASURED = frozenset({"/pile/size", "/pile/age", "/pile/built_on"})
_ASKED_FOR_ANY = (None, "/pile/age", "/temperatures/core")
"""To another question a number is its answer, or none."""


def _hangs_on_a_verb(clause: Clause) -> bool:
    """Whether what was read around strange words may mean another thing with them: "the pump gave up last night"."""
    return any(pointer.endswith("/since") for pointer in pointers_of(clause))


def _names_a_smell(pieces: Sequence[TextPiece], told: set[str]) -> bool:
    """Whether a strange word right before "smell" may say of what: "a musti smell" is no stench."""
    smells = [place for place, piece in enumerate(pieces) if piece.terminal == "SMELL"]
    kind = any(piece.terminal == "SMELL_KIND" for piece in pieces)
    noun = len(smells) == 1 and str(pieces[smells[0]].value).startswith(("smell", "odo", "scent", "aroma"))
    before = pieces[smells[0] - 1] if noun and smells[0] else None
    beside = before is not None and before.terminal == "OTHER" and before.end + 1 == pieces[smells[0]].start
    return "/smell" in told and not kind and beside


def _of_the_heap(told_ways: dict[str, tuple[Told, ...]]) -> dict[str, tuple[Told, ...]]:
    """The ways in which "got a heap of chips" is the heap, where its size or age is told in the same breath."""
    pointers = {way: {each.pointer for each in told if isinstance(each, HeardValue)} for way, told in told_ways.items()}
    heaps = [way for way, told in pointers.items() if "/pile/ingredients" in told and told & _MEASURED]
    stock = [way for way, told in pointers.items() if "/on_hand/-" in told]
    return {way: told for way, told in told_ways.items() if not (heaps and way in stock)}


class Interpreter:
    """Reads the clauses of one message, as long as it is not too much: each try at a clause has its cost."""

    def __init__(self, text: str, setting: Setting, asked: str | None) -> None:
        self.text = text
        self.setting = setting
        self._asked = asked
        self._left = MOST_PIECES

    @property
    def spent(self) -> bool:
        """Whether no more may be tried."""
        return self._left < 0

    def clause(self, pieces: tuple[TextPiece, ...], *, short: bool = False) -> Clause:
        """A clause read as a statement, as the short answer to what was asked, or as a correction."""
        clause = self.interpreted(pieces, STATEMENT)
        if clause.told is None and short and self._asked in ANSWERS:
            answer = self.interpreted(pieces, ANSWERS[self._asked])
            clause = answer if answer.told is not None else clause
        if clause.told is None:
            denied = self.denied(pieces)
            clause = denied if denied is not None else clause
        if clause.told is None:
            plainer = pieces if self.alarming(pieces) else without_strangers(pieces) or pieces
            around = self.interpreted(plainer, STATEMENT) if plainer != pieces else clause
            named = "/pile/ingredients" in pointers_of(around) and plainer != pieces
            named |= plainer != pieces and all(
                isinstance(each, HeardValue) and each.pointer == "/pile/age" and each.unless_told
                for each in around.told or ()
            )  # "rained 2 days" is no age
            named |= _names_a_smell(pieces, pointers_of(around))
            clause = (
                clause if named or around.told is None or _hangs_on_a_verb(around) else replace(around, pieces=pieces)
            )
        if clause.told is None and len(pieces) > 1 and is_correction(pieces[0]):
            corrected = self.interpreted(pieces[1:], STATEMENT)
            clause = replace(corrected, corrects=True) if corrected.told is not None else clause
        return clause if clause.told is not None else self.in_order(pieces) or clause

    def in_order(self, pieces: tuple[TextPiece, ...]) -> Clause | None:
        """A clause that tells one thing in another order than the grammar's."""
        plain = None if self.alarming(pieces) else without_strangers(pieces)
        ordered = in_order(plain) if plain else ()
        clause = self.interpreted(ordered, STATEMENT) if ordered else None
        return (
            None if clause is None or clause.told is None else replace(clause, pieces=pieces, text=self.quoted(pieces))
        )

    def interpreted(self, pieces: tuple[TextPiece, ...], start: str) -> Clause:
        """All that the pieces say, if every one of the simplest ways to read them says the same."""
        seen = [] if start == STATEMENT and snows(pieces) else ways(pieces, start)
        if not seen:
            return self.unread(pieces, why_unread(pieces))
        self._left -= len(pieces) + COST_OF_A_TRY
        if self._left < 0:
            return self.unread(pieces, said("chat.too-long"))
        try:
            read = [told for way in seen for told in told_by(way, pieces, self.setting)]
        except Unclear as unclear:
            return self.unread(pieces, str(unclear))
        told_ways = {repr(told): told for told in read if not names_beside(told) and not sizes_the_house(pieces, told)}
        told_ways = _of_the_heap(told_ways)
        if len(told_ways) == 1:
            begins, ends = pieces[0].start, max(piece.end for piece in pieces)
            told = asked_back(next(iter(told_ways.values())), self.text, begins, ends)
            return Clause(pieces, self.quoted(pieces), told)
        return self.unread(pieces, said("chat.two-ways") if told_ways else why_unread(pieces))

    def denied(self, pieces: tuple[TextPiece, ...]) -> Clause | None:
        """A clause that denies one thing, read as "no ...": "isn't smoking", "no pump or fan"."""
        plainly = as_denial(pieces)
        clause = None if plainly is None else self.interpreted(plainly, STATEMENT)
        return None if clause is None or clause.told is None else replace(clause, pieces=pieces)

    def alone(self, pieces: tuple[TextPiece, ...], before: Sequence[Clause]) -> list[Clause]:
        """A number that stands by itself, such as "9 weeks, 55 C": what it is of follows from the rest."""
        of_now = any(piece.terminal in ("NOW", "PROBE", "HEAP", "FELL_TO") for piece in pieces)
        if self.spent or (self._asked not in _ASKED_FOR_ANY and not of_now):
            return []
        clause = self.interpreted(pieces, LONE)
        if clause.told is None and any(piece.terminal in _READ_IN for piece in pieces) and not self.alarming(pieces):
            plain = without_strangers(without_owned(pieces))
            around = self.interpreted(plain, LONE) if plain and plain != pieces else clause
            clause = clause if around.told is None else replace(around, pieces=pieces, text=self.quoted(pieces))
        last = max((place for place, piece in enumerate(pieces) if piece.terminal == "TEMP"), default=-1) + 1
        if clause.told is None and 0 < last < len(pieces):
            rest = self.interpreted(pieces[last:], STATEMENT)
            head = self.alone(pieces[:last], before) if rest.told is not None and not rest.numeric else []
            return [*head, rest] if head else []
        if clause.told is None and len(pieces) > 1 and pieces[-1].terminal in ("VOLUME", "TEMP", "DURATION"):
            rest = self.interpreted(pieces[:-1], STATEMENT)
            tail = (
                self.alone(pieces[-1:], before)
                if pointers_of(rest) == {"/pile/ingredients"} and not is_bare_list(rest)
                else []
            )
            return [rest, *tail] if tail else []
        now = any(piece.terminal == "NOW" for piece in pieces)
        went = any(piece.terminal == "FELL_TO" for piece in pieces)
        rivals = set() if now and went else {"/temperatures/core"} if now else _CORES
        if LONE_TEMPERATURE in pointers_of(clause) and any(pointers_of(earlier) & rivals for earlier in before):
            return []
        return [clause] if clause.told is not None else []

    def alarming(self, pieces: tuple[TextPiece, ...]) -> bool:
        """Whether strange words among these speak of fire, gas, sick people or pipes: nothing is read around those."""
        strange = any(piece.terminal == "OTHER" for piece in pieces)
        return strange and is_alarm(self.quoted(pieces))

    def left_over(self, pieces: tuple[TextPiece, ...]) -> Clause:
        """What is left unread beside what was read."""
        return self.unread(pieces, why_unread(pieces))

    def unread(self, pieces: tuple[TextPiece, ...], why: str) -> Clause:
        """A clause that is named with what is wanted of it."""
        return Clause(pieces, self.quoted(pieces), None, why)

    def quoted(self, pieces: Sequence[TextPiece]) -> str:
        """The words of the message in which the pieces stand."""
        return self.text[pieces[0].start : max(piece.end for piece in pieces)].strip()
