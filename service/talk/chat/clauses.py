"""From a message to what it says: clause by clause, each read whole and in one way, or left unread and named."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rules.catalogue import said
from rules.tables.alarm_words import is_alarm
from service.talk.chat.around import chunks, without_strangers
from service.talk.chat.asides import is_untold, without_question
from service.talk.chat.bearing import (
    LISTS,
    bearing,
    is_bare_list,
    is_bare_stock,
    is_list,
    is_open,
    names_beside,
    pointers_of,
    snows,
    why_unread,
)
from service.talk.chat.clause import Clause
from service.talk.chat.compound import signs_in
from service.talk.chat.corrections import as_denial, is_correction, put_right, takes_back, without_denied
from service.talk.chat.doubt import without_doubtful
from service.talk.chat.grammar import ANSWERS, LONE
from service.talk.chat.in_order import in_order
from service.talk.chat.islands import heads, islands
from service.talk.chat.lexer import sentences
from service.talk.chat.meaning_lone import LONE_TEMPERATURE
from service.talk.chat.plain_text import plain
from service.talk.chat.plainer import as_heap, without_asides, without_attributes
from service.talk.chat.reading import Gap, HeardValue, Setting, Unclear
from service.talk.chat.segments import here_and_elsewhere, segments, softly
from service.talk.chat.statements import STATEMENT, told_by, ways
from service.talk.chat.tokens import NUMBERS, Sentence, TextPiece
from service.talk.chat.typos import mended

MOST_PIECES = 400
"""Pieces that are tried in one message, those tried twice counted twice: many times what people write (our own)."""
COST_OF_A_TRY = 4
"""What a try at a clause costs by itself, in pieces (measured)."""
_CORES = frozenset({"/temperatures/core", "/history/-"})
_HEADINGS = frozenset({"SMELL", "AGE", "CORE", "OUTSIDE", "OUTER", "SIZE", "COVER", "FAN", "PUMP", "HOUSE"})
"""What people put before their answer as if it were asked."""
_ASKED_FOR_ANY = (None, "/pile/age", "/temperatures/core")
"""To another question a number is its answer, or none."""
_GOALS = frozenset({"/greenhouse/night_target", "/goal/keep_core_above", "/goal/until"})
_WANTING = frozenset({"want", "wants", "wish", "hope", "hoping", "ideally", "goal", "aim", "aiming", "would", "should"})
"""Words of wishes that say what the heap is for."""
_FITTED = frozenset({"HOUSE", "INLET", "OUTLET", "FAN", "PUMP"})
"""What is no place of the heap: named by itself it takes no number away from the heap."""
_PLACES = frozenset({"HOUSE", "SIDE", "CORE", "OUTER", "OUTSIDE", "FAN", "PUMP", "PROBE", "TONIGHT"})
"""What a heading may name."""
_THERE = frozenset({"in there", "in it"})
_SPOKEN_OF = frozenset({"HOUSE", "HEAP", "CORE"})
_BESIDE_IT = said("chat.beside")
_NOT_NOW = said("chat.not-now")


def clauses(text: str, setting: Setting, asked: str | None = None) -> list[Clause]:
    """The clauses of a message. `asked` is the field of the question that the first of them may answer shortly."""
    text, _ = mended(plain(text))
    found: list[Clause] = []
    reader = _Reader(text, setting, asked)
    heading: tuple[TextPiece, ...] = ()
    for sentence in sentences(text):
        if sentence.asked and len(sentence.pieces) == 1 and sentence.pieces[0].terminal in _HEADINGS:
            heading = sentence.pieces  # "Smell? nothing."
            continue
        found = reader.read(replace(sentence, pieces=(*heading, *sentence.pieces)), found)
        heading = ()
    return without_doubtful(found)


def _shares(clause: Clause) -> bool:
    """Whether a clause tells the share of a thing."""
    return any(piece.terminal in ("PERCENT", "FRACTION") for piece in clause.pieces)


class _Reader:
    """Reads the sentences of one message, as long as it is not too much: each try at a clause has its cost."""

    def __init__(self, text: str, setting: Setting, asked: str | None) -> None:
        self._text = text
        self._setting = setting
        self._asked = asked
        self._left = MOST_PIECES
        self._spoken_of = ""

    def read(self, sentence: Sentence, before: list[Clause]) -> list[Clause]:
        """The clauses so far, those of this sentence behind them."""
        told, question = without_question(sentence)
        found, first = list(before), len(before)
        here, elsewhere = here_and_elsewhere(without_denied(self._pointed(told)))
        for pieces in segments(as_heap(without_attributes(without_asides(here)))):
            if is_untold(pieces):
                found.append(Clause(pieces, self._quoted(pieces), ()))
                continue
            if any(piece.terminal == "WISH" for piece in pieces):
                found += self._beside_a_wish(pieces)
                continue
            righted = self._put_right(found[-1], pieces) if found else None
            if righted is not None:
                found[-1] = righted
                continue
            headed = self._under_heading(found[first:], pieces)
            if headed is not None:
                found[-1] = headed
                continue
            clause = self._clause(pieces, short=not found)
            may_join = len(found) > first or (bool(found) and pieces[0].terminal == "WAS")
            if may_join and (
                clause.told is None
                or is_open(clause)
                or all(isinstance(told, Gap) for told in clause.told)
                or (is_list(clause) and (found[-1].told is None or is_list(found[-1])))
            ):
                joined = self._carried_on(found, first, pieces)
                if joined is not None:
                    found = joined
                    continue
            if found and is_bare_stock(clause, found[-1]):
                clause = self._unread(pieces, said("chat.heap-or-hand"))
                found.append(clause)
                continue
            if found and clause.told is not None and takes_back(found[-1].pieces):
                clause = replace(clause, corrects=True)
            alone = self._alone(pieces, found) if clause.told is None else []
            found += [clause] if clause.told is not None else alone or self._parted(pieces, clause, found)
        found += [self._unread(elsewhere, _NOT_NOW)] if elsewhere else []
        return [*found, self._question(question)] if question else found

    def _pointed(self, pieces: tuple[TextPiece, ...]) -> tuple[TextPiece, ...]:
        """The pieces with "in there" as the house, where that was spoken of last and not the heap."""
        told: list[TextPiece] = []
        for piece in pieces:
            there = piece.terminal == "IN_HEAP" and piece.value in _THERE and self._spoken_of == "HOUSE"
            told.append(replace(piece, terminal="HOUSE") if there else piece)
            self._spoken_of = piece.terminal if piece.terminal in _SPOKEN_OF else self._spoken_of
        return tuple(told)

    def _question(self, pieces: tuple[TextPiece, ...]) -> Clause:
        """What is asked and no report: it says nothing of the heap and so doubts nothing."""
        return replace(self._unread(pieces, said("chat.a-question")), aside=True)

    def _beside_a_wish(self, pieces: tuple[TextPiece, ...]) -> list[Clause]:
        """What stands before a wish and is joined to it is read; from the wish on nothing is."""
        wish = next(place for place, piece in enumerate(pieces) if piece.terminal == "WISH")
        wanted = self._wanted(pieces, wish)
        if wanted:
            return wanted
        joint = max((place for place in range(wish) if pieces[place].terminal in ("AND", "BUT")), default=None)
        if joint is None:
            return [self._unread(pieces, _NOT_NOW)]
        before = self._clause(pieces[:joint]) if joint else None
        return [*([before] if before else []), self._unread(pieces[joint + 1 :], _NOT_NOW)]

    def _wanted(self, pieces: tuple[TextPiece, ...], wish: int) -> list[Clause]:
        """What is wanted of house and heap, read as what is to be kept: "I want 7 C at night"."""
        if pieces[wish].value not in _WANTING:
            return []
        kept = any(piece.terminal == "KEEP" for piece in pieces)
        keep = () if kept else (replace(pieces[wish], terminal="KEEP"),)
        keeping = (*pieces[:wish], *keep, *pieces[wish + 1 :])
        clause = self._clause(keeping)
        wanted = [clause] if clause.told is not None else self._clear(keeping)
        goals = {pointer for each in wanted for pointer in pointers_of(each)}
        unsure = any(each.told is None and each.numeric for each in wanted)
        return wanted if goals and goals <= _GOALS and not unsure else []

    def _clause(self, pieces: tuple[TextPiece, ...], *, short: bool = False) -> Clause:
        """A clause read as a statement, as the short answer to what was asked, or as a correction."""
        clause = self._interpreted(pieces, STATEMENT)
        if clause.told is None and short and self._asked in ANSWERS:
            answer = self._interpreted(pieces, ANSWERS[self._asked])
            clause = answer if answer.told is not None else clause
        if clause.told is None:
            denied = self._denied(pieces)
            clause = denied if denied is not None else clause
        if clause.told is None:
            plainer = pieces if self._alarming(pieces) else without_strangers(pieces) or pieces
            around = self._interpreted(plainer, STATEMENT) if plainer != pieces else clause
            named = "/pile/ingredients" in pointers_of(around) and plainer != pieces
            clause = clause if named else replace(around, pieces=pieces)
        if clause.told is None and len(pieces) > 1 and is_correction(pieces[0]):
            corrected = self._interpreted(pieces[1:], STATEMENT)
            clause = replace(corrected, corrects=True) if corrected.told is not None else clause
        return clause if clause.told is not None else self._in_order(pieces) or clause

    def _in_order(self, pieces: tuple[TextPiece, ...]) -> Clause | None:
        """A clause that tells one thing in another order than the grammar's."""
        plain = None if self._alarming(pieces) else without_strangers(pieces)
        ordered = in_order(plain) if plain else ()
        clause = self._interpreted(ordered, STATEMENT) if ordered else None
        return (
            None if clause is None or clause.told is None else replace(clause, pieces=pieces, text=self._quoted(pieces))
        )

    def _interpreted(self, pieces: tuple[TextPiece, ...], start: str) -> Clause:
        """All that the pieces say, if every one of the simplest ways to read them says the same."""
        seen = [] if start == STATEMENT and snows(pieces) else ways(pieces, start)
        if not seen:
            return self._unread(pieces, why_unread(pieces))
        self._left -= len(pieces) + COST_OF_A_TRY
        if self._left < 0:
            return self._unread(pieces, said("chat.too-long"))
        try:
            read = [told for way in seen for told in told_by(way, pieces, self._setting)]
        except Unclear as unclear:
            return self._unread(pieces, str(unclear))
        told_ways = {repr(told): told for told in read if not names_beside(told)}
        if len(told_ways) == 1:
            return Clause(pieces, self._quoted(pieces), next(iter(told_ways.values())))
        return self._unread(pieces, said("chat.two-ways") if told_ways else why_unread(pieces))

    def _carried_on(self, found: list[Clause], first: int, pieces: tuple[TextPiece, ...]) -> list[Clause] | None:
        """The clauses with the last one carried on; a list that needs all its parts may have begun before that."""
        if any(piece.terminal == "REST" for piece in pieces):
            return self._as_the_rest(found, first, pieces)
        joined = self._joined(found[-1], pieces)
        if joined is not None:
            return [*found[:-1], joined]
        begun = len(found) - 2
        if begun < first or found[-1].told is not None or found[begun].told is not None:
            return None
        comma = TextPiece("COMMA", ",", found[-1].pieces[0].start, found[-1].pieces[0].start)
        whole = replace(found[begun], pieces=(*found[begun].pieces, comma, *found[-1].pieces))
        joined = self._joined(whole, pieces)
        return None if joined is None else [*found[:begun], joined]

    def _as_the_rest(self, found: list[Clause], first: int, pieces: tuple[TextPiece, ...]) -> list[Clause] | None:
        """All the shares right before joined to the thing that is the rest of them."""
        begun = len(found)
        while begun > first and found[begun - 1].told is None and _shares(found[begun - 1]):
            begun -= 1
        if begun == len(found):
            return None
        whole: tuple[TextPiece, ...] = found[begun].pieces
        for clause in found[begun + 1 :]:
            whole = (*whole, TextPiece("COMMA", ",", clause.pieces[0].start, clause.pieces[0].start), *clause.pieces)
        joined = self._joined(replace(found[begun], pieces=whole), pieces)
        return None if joined is None else [*found[:begun], joined]

    def _under_heading(self, found: Sequence[Clause], pieces: tuple[TextPiece, ...]) -> Clause | None:
        """What is told behind a clause that does no more than name a place: "glass house, 3 m by 5 m"."""
        heading = found[-1] if found else None
        if heading is None or heading.numeric or not any(piece.terminal in NUMBERS for piece in pieces):
            return None
        place = [piece for piece in heading.pieces if piece.terminal in _PLACES]
        named = any(piece.terminal in _PLACES or piece.terminal == "HEAP" for piece in pieces)
        more = any(piece.terminal not in _PLACES | {"GLAZING", "OTHER"} for piece in heading.pieces)
        if len(place) != 1 or named or more:
            return None
        kept = [piece for piece in heading.pieces if piece.terminal in (place[0].terminal, "GLAZING")]
        clause = self._interpreted((*kept, *pieces), STATEMENT)
        if clause.told is None or not any(piece.terminal in NUMBERS for piece in clause.pieces):
            return None
        return replace(clause, text=self._quoted((*heading.pieces, *pieces)))

    def _joined(self, clause: Clause, pieces: tuple[TextPiece, ...]) -> Clause | None:
        """The clause before, carried on by these pieces: a further reading, or more of a list."""
        comma = TextPiece("COMMA", ",", pieces[0].start, pieces[0].start)
        joined = self._interpreted((*clause.pieces, comma, *pieces), STATEMENT)
        return None if joined.told is None else replace(joined, corrects=clause.corrects)

    def _denied(self, pieces: tuple[TextPiece, ...]) -> Clause | None:
        """A clause that denies one thing, read as "no ...": "isn't smoking", "no pump or fan"."""
        plainly = as_denial(pieces)
        clause = None if plainly is None else self._interpreted(plainly, STATEMENT)
        return None if clause is None or clause.told is None else replace(clause, pieces=pieces)

    def _put_right(self, before: Clause, pieces: tuple[TextPiece, ...]) -> Clause | None:
        """The clause before with the number that these pieces put in the place of its own."""
        righted = put_right(before.pieces, pieces) if before.told is not None else None
        clause = None if righted is None else self._interpreted(righted, STATEMENT)
        return None if clause is None or clause.told is None else replace(clause, corrects=True)

    def _alone(self, pieces: tuple[TextPiece, ...], before: Sequence[Clause]) -> list[Clause]:
        """A number that stands by itself, such as "9 weeks, 55 C": what it is of follows from the rest."""
        of_now = any(piece.terminal in ("NOW", "PROBE", "HEAP", "FELL_TO") for piece in pieces)
        if self._left < 0 or (self._asked not in _ASKED_FOR_ANY and not of_now):
            return []
        clause = self._interpreted(pieces, LONE)
        last = max((place for place, piece in enumerate(pieces) if piece.terminal == "TEMP"), default=-1) + 1
        if clause.told is None and 0 < last < len(pieces):
            rest = self._interpreted(pieces[last:], STATEMENT)
            head = self._alone(pieces[:last], before) if rest.told is not None and not rest.numeric else []
            return [*head, rest] if head else []
        if clause.told is None and len(pieces) > 1 and pieces[-1].terminal in ("VOLUME", "TEMP", "DURATION"):
            rest = self._interpreted(pieces[:-1], STATEMENT)
            tail = (
                self._alone(pieces[-1:], before)
                if pointers_of(rest) == {"/pile/ingredients"} and not is_bare_list(rest)
                else []
            )
            return [rest, *tail] if tail else []
        if LONE_TEMPERATURE in pointers_of(clause) and any(pointers_of(earlier) & _CORES for earlier in before):
            return []
        return [clause] if clause.told is not None else []

    def _parted(self, pieces: tuple[TextPiece, ...], whole: Clause, before: Sequence[Clause]) -> list[Clause]:
        """The parts between `and` and `but`, where what stays unread cannot bear on what is read."""
        parts = [clause for part in softly(pieces) for clause in self._part(part, before)]
        unread = [part for part in parts if part.told is None]
        covers = any("/pile/cover" in pointers_of(part) for part in parts)
        if unread or covers:  # what things are named beside could say where they are
            parts = [
                self._unread(part.pieces, said("chat.heap-or-hand")) if is_bare_list(part) else part for part in parts
            ]
            unread = [part for part in parts if part.told is None]
        lists = any(part.numeric and pointers_of(part) & LISTS for part in parts)
        if lists or len(unread) == len(parts) or any(part.doubts for part in unread):
            return self._clear(pieces) or [whole]
        kept: list[Clause] = []
        on_all, kinds = bearing(unread, parts)
        of_machines = on_all and not bearing([part for part in unread if not part.names <= _FITTED], parts)[0]
        for part in parts:
            borne_on = (
                part.told is not None
                and part.numeric
                and ((on_all and not (of_machines and part.of_the_heap)) or bool(kinds & part.kinds))
            )
            clear = self._clear(part.pieces) if part.told is None else []
            kept += [self._unread(part.pieces, _BESIDE_IT)] if borne_on else clear or [part]
        return kept

    def _part(self, pieces: tuple[TextPiece, ...], before: Sequence[Clause]) -> list[Clause]:
        """A part of a clause, read as a statement, or as a number that stands by itself and what is said behind it."""
        clause = self._clause(pieces)
        alone = self._alone(pieces, before) if clause.told is None else []
        return alone or [clause]

    def _clear(self, pieces: tuple[TextPiece, ...]) -> list[Clause]:
        """What is clear in pieces that cannot be read whole."""
        around = self._left > 0 and not self._alarming(pieces)
        found = chunks(pieces, self._clause, self._left_over) if around else []
        found = (
            found or self._machines(pieces) or self._by_head(pieces) or islands(pieces, self._clause, self._left_over)
        )
        return [*found, *self._more_signs(pieces, found)] if found else self._compound(pieces)

    def _more_signs(self, pieces: tuple[TextPiece, ...], found: Sequence[Clause]) -> list[Clause]:
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
            for sign in signs_in(self._text, pieces)
            if sign.value not in told and any(sign.start < each.end and each.start < sign.end for each in left)
        ]
        return [self._interpreted((sign,), STATEMENT) for sign in signs]

    def _machines(self, pieces: tuple[TextPiece, ...]) -> list[Clause]:
        """Signs of pipes, fan and power, told in many words: their cracks and drips are not the heap's."""
        of_machines = any(
            sign.value.startswith(("pipe_", "fan_", "power_", "no_flow")) for sign in signs_in(self._text, pieces)
        )
        return self._compound(pieces) if of_machines else []

    def _compound(self, pieces: tuple[TextPiece, ...]) -> list[Clause]:
        """Signs that the clause tells in many words; where it holds numbers too, those stay unread."""
        signs = [self._interpreted((sign,), STATEMENT) for sign in signs_in(self._text, pieces)]
        rest = [self._left_over(pieces)] if any(piece.terminal in NUMBERS for piece in pieces) else []
        return [*signs, *rest] if signs else []

    def _alarming(self, pieces: tuple[TextPiece, ...]) -> bool:
        """Whether strange words among these speak of fire, gas, sick people or pipes: nothing is read around those."""
        strange = any(piece.terminal == "OTHER" for piece in pieces)
        return strange and is_alarm(self._quoted(pieces))

    def _by_head(self, pieces: tuple[TextPiece, ...]) -> list[Clause]:
        """The head of a clause, where what cannot be read behind it says itself what it is of."""
        for head, rest in heads(pieces):
            if self._left < 0:
                break
            clause = self._interpreted(head, STATEMENT)
            if clause.told is not None and not (clause.numeric and pointers_of(clause) & LISTS):
                return [clause, self._unread(rest, why_unread(rest))]
        return []

    def _left_over(self, pieces: tuple[TextPiece, ...]) -> Clause:
        return self._unread(pieces, why_unread(pieces))

    def _unread(self, pieces: tuple[TextPiece, ...], why: str) -> Clause:
        return Clause(pieces, self._quoted(pieces), None, why)

    def _quoted(self, pieces: Sequence[TextPiece]) -> str:
        return self._text[pieces[0].start : max(piece.end for piece in pieces)].strip()
