"""From a message to what it says: clause by clause, each read whole and in one way, or left unread and named."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from service.problems.problem import cut
from service.talk.chat.asides import without_question
from service.talk.chat.clause import Clause
from service.talk.chat.corrections import as_denial, is_correction, put_right, takes_back, without_denied
from service.talk.chat.doubt import without_doubtful
from service.talk.chat.grammar import ANSWERS, LONE, STATEMENT, trees
from service.talk.chat.islands import heads, islands, without_attributes
from service.talk.chat.lexer import plain, sentences
from service.talk.chat.meaning_heap import HEAP
from service.talk.chat.meaning_heat import HEAT
from service.talk.chat.meaning_make import MAKE
from service.talk.chat.meaning_work import WORK
from service.talk.chat.reading import Node, Reading, Setting, Told, Unclear
from service.talk.chat.tokens import NAMES, NUMBERS, Piece, Sentence
from service.talk.chat.typos import mended

_SAYS = {**HEAT, **HEAP, **WORK, **MAKE}
MOST_PIECES = 400
"""Pieces that are tried in one message, those tried twice counted twice: many times what people write (our own)."""
COST_OF_A_TRY = 4
"""What a try at a clause costs by itself, in pieces (measured)."""
_LISTS = frozenset({"/pile/ingredients", "/pile/size", "/on_hand/-"})
_CORES = frozenset({"/temperatures/core", "/history/-"})
_ASKED_FOR_ANY = (None, "/pile/age", "/temperatures/core")
"""To another question a number is its answer, or none."""
_JOINTS = frozenset({"AND", "BUT", "WITH"})
_BESIDE_IT = "what is said beside it could change its meaning"
_NOT_NOW = "this is not about the heap as it is now"


def clauses(text: str, setting: Setting, asked: str | None = None) -> list[Clause]:
    """The clauses of a message. `asked` is the field of the question that the first of them may answer shortly."""
    text, _ = mended(plain(text))
    found: list[Clause] = []
    reader = _Reader(text, setting, asked)
    for sentence in sentences(text):
        found = reader.read(sentence, found)
    return without_doubtful(found)


class _Reader:
    """Reads the sentences of one message, as long as it is not too much: each try at a clause has its cost."""

    def __init__(self, text: str, setting: Setting, asked: str | None) -> None:
        self._text = text
        self._setting = setting
        self._asked = asked
        self._left = MOST_PIECES

    def read(self, sentence: Sentence, before: list[Clause]) -> list[Clause]:
        """The clauses so far, those of this sentence behind them."""
        told, question = without_question(sentence)
        found, first = list(before), len(before)
        here, elsewhere = _here(without_denied(told))
        for pieces in _segments(here):
            if any(piece.terminal == "WISH" for piece in pieces):
                found += self._beside_a_wish(pieces)
                continue
            righted = self._put_right(found[-1], pieces) if found else None
            if righted is not None:
                found[-1] = righted
                continue
            clause = self._clause(pieces, short=not found)
            may_join = len(found) > first or (bool(found) and pieces[0].terminal == "WAS")
            if may_join and (clause.told is None or (_is_list(clause) and _is_list(found[-1]))):
                joined = self._carried_on(found, first, pieces)
                if joined is not None:
                    found = joined
                    continue
            if found and clause.told is not None and takes_back(found[-1].pieces):
                clause = replace(clause, corrects=True)
            alone = self._alone(pieces, found) if clause.told is None else []
            found += [clause] if clause.told is not None else alone or self._parted(pieces, clause)
        found += [self._unread(elsewhere, _NOT_NOW)] if elsewhere else []
        return [*found, self._question(question)] if question else found

    def _question(self, pieces: tuple[Piece, ...]) -> Clause:
        """What is asked and no report: it says nothing of the heap and so doubts nothing."""
        return replace(self._unread(pieces, "a question is not a report"), aside=True)

    def _beside_a_wish(self, pieces: tuple[Piece, ...]) -> list[Clause]:
        """What stands before a wish and is joined to it is read; from the wish on nothing is."""
        wish = next(place for place, piece in enumerate(pieces) if piece.terminal == "WISH")
        joint = max((place for place in range(wish) if pieces[place].terminal in ("AND", "BUT")), default=None)
        if joint is None:
            return [self._unread(pieces, _NOT_NOW)]
        before = self._clause(pieces[:joint]) if joint else None
        return [*([before] if before else []), self._unread(pieces[joint + 1 :], _NOT_NOW)]

    def _clause(self, pieces: tuple[Piece, ...], *, short: bool = False) -> Clause:
        """A clause read as a statement, as the short answer to what was asked, or as a correction."""
        clause = self._interpreted(pieces, STATEMENT)
        if clause.told is None and short and self._asked in ANSWERS:
            answer = self._interpreted(pieces, ANSWERS[self._asked])
            clause = answer if answer.told is not None else clause
        if clause.told is None:
            plainer = without_attributes(pieces)
            clause = replace(self._interpreted(plainer, STATEMENT), pieces=pieces) if plainer != pieces else clause
        if clause.told is None:
            denied = self._denied(pieces)
            clause = denied if denied is not None else clause
        if clause.told is None and len(pieces) > 1 and is_correction(pieces[0]):
            corrected = self._interpreted(pieces[1:], STATEMENT)
            clause = replace(corrected, corrects=True) if corrected.told is not None else clause
        return clause

    def _interpreted(self, pieces: tuple[Piece, ...], start: str) -> Clause:
        """All that the pieces say, if every one of the simplest ways to read them says the same."""
        self._left -= len(pieces) + COST_OF_A_TRY
        if self._left < 0:
            return self._unread(pieces, "the message is too long to be read at once: send the rest by itself")
        try:
            read = [tuple(_told(tree, self._setting)) for tree in _simplest(pieces, start)]
        except Unclear as unclear:
            return self._unread(pieces, str(unclear))
        ways = {repr(told): told for told in read}
        if len(ways) == 1:
            return Clause(pieces, self._quoted(pieces), next(iter(ways.values())))
        return self._unread(pieces, "it could be read in more than one way" if ways else _why_unread(pieces))

    def _carried_on(self, found: list[Clause], first: int, pieces: tuple[Piece, ...]) -> list[Clause] | None:
        """The clauses with the last one carried on; a list that needs all its parts may have begun before that."""
        joined = self._joined(found[-1], pieces)
        if joined is not None:
            return [*found[:-1], joined]
        begun = len(found) - 2
        if begun < first or found[-1].told is not None or found[begun].told is not None:
            return None
        comma = Piece("COMMA", ",", found[-1].pieces[0].start, found[-1].pieces[0].start)
        whole = replace(found[begun], pieces=(*found[begun].pieces, comma, *found[-1].pieces))
        joined = self._joined(whole, pieces)
        return None if joined is None else [*found[:begun], joined]

    def _joined(self, clause: Clause, pieces: tuple[Piece, ...]) -> Clause | None:
        """The clause before, carried on by these pieces: a further reading, or more of a list."""
        comma = Piece("COMMA", ",", pieces[0].start, pieces[0].start)
        joined = self._interpreted((*clause.pieces, comma, *pieces), STATEMENT)
        return None if joined.told is None else replace(joined, corrects=clause.corrects)

    def _denied(self, pieces: tuple[Piece, ...]) -> Clause | None:
        """A clause that denies one thing, read as "no ...": "isn't smoking", "no pump or fan"."""
        plainly = as_denial(pieces)
        clause = None if plainly is None else self._interpreted(plainly, STATEMENT)
        return None if clause is None or clause.told is None else replace(clause, pieces=pieces)

    def _put_right(self, before: Clause, pieces: tuple[Piece, ...]) -> Clause | None:
        """The clause before with the number that these pieces put in the place of its own."""
        righted = put_right(before.pieces, pieces) if before.told is not None else None
        clause = None if righted is None else self._interpreted(righted, STATEMENT)
        return None if clause is None or clause.told is None else replace(clause, corrects=True)

    def _alone(self, pieces: tuple[Piece, ...], before: Sequence[Clause]) -> list[Clause]:
        """A number that stands by itself, such as "9 weeks, 55 C": what it is of follows from the rest."""
        if self._left < 0 or self._asked not in _ASKED_FOR_ANY:
            return []
        if any(_pointers(clause) & _CORES for clause in before):
            return []
        clause = self._interpreted(pieces, LONE)
        return [clause] if clause.told is not None else []

    def _parted(self, pieces: tuple[Piece, ...], whole: Clause) -> list[Clause]:
        """The parts between `and` and `but`, where what stays unread cannot bear on what is read."""
        parts = [self._clause(part) for part in _split(pieces, frozenset({"AND", "BUT"}))]
        unread = [part for part in parts if part.told is None]
        lists = any(part.numeric and _pointers(part) & _LISTS for part in parts)
        if lists or len(unread) == len(parts) or any(part.doubts for part in unread):
            return self._by_head(pieces) or islands(pieces, self._clause, self._left_over) or [whole]
        kept: list[Clause] = []
        on_all, kinds = _bearing(unread, parts)
        for part in parts:
            borne_on = part.told is not None and part.numeric and (on_all or bool(kinds & part.kinds))
            clear = islands(part.pieces, self._clause, self._left_over) if part.told is None else []
            kept += [self._unread(part.pieces, _BESIDE_IT)] if borne_on else clear or [part]
        return kept

    def _by_head(self, pieces: tuple[Piece, ...]) -> list[Clause]:
        """The head of a clause, where what cannot be read behind it says itself what it is of."""
        for head, rest in heads(pieces):
            if self._left < 0:
                break
            clause = self._interpreted(head, STATEMENT)
            if clause.told is not None and not (clause.numeric and _pointers(clause) & _LISTS):
                return [clause, self._unread(rest, _why_unread(rest))]
        return []

    def _left_over(self, pieces: tuple[Piece, ...]) -> Clause:
        return self._unread(pieces, _why_unread(pieces))

    def _unread(self, pieces: tuple[Piece, ...], why: str) -> Clause:
        return Clause(pieces, self._quoted(pieces), None, why)

    def _quoted(self, pieces: Sequence[Piece]) -> str:
        return self._text[pieces[0].start : max(piece.end for piece in pieces)].strip()


def _simplest(pieces: Sequence[Piece], start: str) -> list[Node]:
    """The ways to read the pieces that need the fewest facts: a list is one list, a fan with its minutes is one fan."""
    found = trees(pieces, start)
    fewest = min((_facts(tree) for tree in found), default=0)
    return [tree for tree in found if _facts(tree) == fewest]


def _facts(tree: Node) -> int:
    return sum(isinstance(child, type(tree)) for child in tree.children)


def _told(tree: Node, setting: Setting) -> Iterator[Told]:
    """What a statement says, fact by fact; a short answer is one fact."""
    facts = [child for child in tree.children if isinstance(child, type(tree))] if tree.data == STATEMENT else [tree]
    for fact in facts:
        yield from _SAYS[fact.data](fact, setting)


def _segments(pieces: tuple[Piece, ...]) -> Iterator[tuple[Piece, ...]]:
    """The pieces between commas; a joining word at the head or foot says nothing."""
    for segment in _split(pieces, frozenset({"COMMA"})):
        kept = list(segment)
        while kept and kept[0].terminal in _JOINTS:
            kept.pop(0)
        while kept and kept[-1].terminal in _JOINTS:
            kept.pop()
        if kept:
            yield tuple(kept)


def _split(pieces: tuple[Piece, ...], marks: frozenset[str]) -> Iterator[tuple[Piece, ...]]:
    part: list[Piece] = []
    for piece in (*pieces, None):
        if piece is not None and piece.terminal not in marks:
            part.append(piece)
        elif part:
            yield tuple(part)
            part = []


def _here(pieces: tuple[Piece, ...]) -> tuple[tuple[Piece, ...], tuple[Piece, ...]]:
    """The pieces of a sentence up to the clause that speaks of another heap or time, and from that clause on."""
    place = next((place for place, piece in enumerate(pieces) if piece.terminal == "ELSEWHERE"), None)
    if place is None:
        return pieces, ()
    start = max((earlier + 1 for earlier in range(place) if pieces[earlier].terminal in ("COMMA", "BUT")), default=0)
    return pieces[:start], pieces[start:]


def _bearing(unread: Sequence[Clause], parts: Sequence[Clause]) -> tuple[bool, frozenset[str]]:
    """Whether a part that was not read could change what every number beside it is of, and else of which kinds."""
    named = Counter(name for part in parts for name in part.names)
    bearing = [part for part in unread if not _stands_alone(part, named)]
    on_all = any(part.dangling or not part.stray for part in bearing)
    return on_all, frozenset(kind for part in bearing for kind in part.stray)


def _stands_alone(unread: Clause, named: Mapping[str, int]) -> bool:
    """Whether an unread part says itself what its numbers are of, and no other part is of the same."""
    if unread.dangling or unread.pieces[-1].terminal in NAMES or any(p.terminal == "DOUBT" for p in unread.pieces):
        return False
    return not unread.stray and all(named[name] == 1 for name in unread.names)


def _is_list(clause: Clause) -> bool:
    """Whether a clause tells what the heap is made of or what is on hand: the next may carry the list on."""
    pointers = _pointers(clause)
    return bool(pointers) and pointers <= _LISTS


def _pointers(clause: Clause) -> set[str]:
    return {reading.pointer for reading in clause.told or () if isinstance(reading, Reading)}


def _why_unread(pieces: Sequence[Piece]) -> str:
    """The first thing that stood in the way, in words."""
    for piece in pieces:
        if piece.terminal in ("REFUSED", "VAGUE"):
            return str(piece.value)
        if piece.terminal == "UNSURE":
            return "the number could mean more than one thing"
        if piece.terminal in ("OTHER", "DOUBT"):
            return f'I do not know what "{cut(str(piece.value))}" means here'
    if any(piece.terminal in NUMBERS for piece in pieces):
        return "what is the number of? Say it with its place, such as core 121 F"
    return "I am not sure what is meant; say it another way"
